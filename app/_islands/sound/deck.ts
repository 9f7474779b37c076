import type { Mix } from '../../../lib/sound/banjo';
import type { Levels, Strings } from './levels';
import { ALL_STRINGS, FIRST_LEVELS, keepLevels, keptLevels, mixOf } from './levels';
import { StrokeMark } from './mark';
import type { Heard, Player } from './player';
import type { Rounds, roundOf } from './round';
import { wakeContext } from './wake';

/** Half a frame: what is drawn now is seen with the next one. */
const MARK_AHEAD_SECONDS = 0.008;

const NOT_LOADED = 'The sound could not be loaded: is the line down? Try again in a moment.';

/** How rounds are made, once the sound is loaded. */
export type MakeRounds = (make: typeof roundOf) => Rounds;

export interface DeckState {
  /** What is playing, by the name it was started with. */
  readonly playing: string | undefined;
  /** Why no sound is heard, in words. */
  readonly silence: string | undefined;
  readonly levels: Levels;
}

interface Loaded {
  readonly player: Player;
  readonly make: typeof roundOf;
}

/** The one player of a page: whatever is started takes the place of what was playing. Sound is loaded when it is first wanted. */
class Deck {
  private loading: Promise<Loaded> | undefined;
  private loaded: Loaded | undefined;
  private context: AudioContext | undefined;
  private readonly mark = new StrokeMark();
  private frame = 0;
  private readonly listeners = new Set<() => void>();
  private current: DeckState = { playing: undefined, silence: undefined, levels: FIRST_LEVELS };
  private strings = ALL_STRINGS;
  private kept = false;

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    if (!this.kept) {
      this.kept = true;
      this.change({ levels: keptLevels() });
    }
    return () => this.listeners.delete(listener);
  };

  readonly state = (): DeckState => this.current;

  /** Plays; called from within a touch or a key, as browsers ask. */
  async play(name: string, rounds: MakeRounds): Promise<void> {
    this.change({ playing: name });
    if (!this.loading) {
      this.context = wakeContext();
      this.loading = this.load(this.context);
    }
    void this.context?.resume();
    const loaded = await this.loading.catch(() => this.notLoaded());
    if (!loaded || this.current.playing !== name) return;
    loaded.player.play(rounds(loaded.make));
    this.follow(loaded.player);
  }

  /** What comes after the round that is playing. */
  changeRounds(rounds: MakeRounds): void {
    if (this.loaded) this.loaded.player.change(rounds(this.loaded.make));
  }

  stop(): void {
    this.loaded?.player.stop();
    this.ended();
  }

  setLevels(levels: Levels): void {
    this.change({ levels });
    keepLevels(levels);
    this.loaded?.player.setMix(this.mix);
  }

  /** Which strings are heard on this page. */
  setStrings(strings: Strings): void {
    this.strings = strings;
    this.loaded?.player.setMix(this.mix);
  }

  heard(): Heard | undefined {
    return this.loaded?.player.heard(MARK_AHEAD_SECONDS);
  }

  private async load(context: AudioContext | undefined): Promise<Loaded> {
    const [{ openOutput }, { Player }, { roundOf }] = await Promise.all([
      import('./open'),
      import('./player'),
      import('./round'),
    ]);
    const { output, silence } = await openOutput(context, this.mix);
    const player = new Player(output);
    // Levels may have been moved while it was loaded.
    player.setMix(this.mix);
    player.subscribe(() => {
      if (!player.playing) this.ended();
    });
    this.loaded = { player, make: roundOf };
    this.change({ silence });
    return this.loaded;
  }

  /** The line is down, and the sound's own script did not come: it is asked for again the next time. */
  private notLoaded(): undefined {
    this.loading = undefined;
    this.change({ playing: undefined, silence: NOT_LOADED });
  }

  private get mix(): Mix {
    return mixOf(this.current.levels, this.strings);
  }

  private ended(): void {
    this.mark.takeAway();
    if (this.current.playing !== undefined) this.change({ playing: undefined });
  }

  /** Moves the mark with every frame for as long as something is played. */
  private follow(player: Player): void {
    cancelAnimationFrame(this.frame);
    const step = () => {
      if (!player.playing) return;
      const heard = this.heard();
      const place = heard?.measure === undefined ? undefined : heard.round.places[heard.measure];
      this.mark.show(place, heard?.stroke);
      this.frame = requestAnimationFrame(step);
    };
    step();
  }

  private change(change: Partial<DeckState>): void {
    this.current = { ...this.current, ...change };
    for (const listener of this.listeners) listener();
  }
}

export const deck = new Deck();
