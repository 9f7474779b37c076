/**
 * What nodes tell one another. It carries nothing that is not elsewhere too: changes are in the database before they are said, presence is
 * said again. So messages may be lost, doubled or out of order, and nobody waits for them.
 */
export interface Fanout {
  /**
   * Hears what is said about a topic from now on, perhaps one's own words too.
   * @returns what ends it
   */
  listen(topic: string, hear: (message: Uint8Array) => void): () => void;
  say(topic: string, message: Uint8Array): void;
  /** Calls back each time that something may have been missed: the line was cut and is there again. */
  onBack(back: () => void): void;
  close(): Promise<void>;
}
