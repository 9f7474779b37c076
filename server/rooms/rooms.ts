import type { BoardId, Ms } from '../../lib/units';
import { NoSuchBoard } from '../store/store';
import { Room } from './room';
import type { RoomWorld } from './world';

/** A room that will not close before it is let go. */
export interface HeldRoom {
  readonly room: Room;
  readonly release: () => void;
}

interface Slot {
  readonly room: Promise<Room | undefined>;
  holders: number;
  timer: NodeJS.Timeout | undefined;
}

/** The rooms that are in memory. A board has one at most. */
export class Rooms {
  private readonly slots = new Map<BoardId, Slot>();
  private readonly closings = new Set<Promise<void>>();

  /** @param lingerMs how long a room stays after its last holder has let go */
  constructor(
    private readonly world: RoomWorld,
    private readonly lingerMs: Ms,
  ) {}

  get boards(): readonly BoardId[] {
    return [...this.slots.keys()];
  }

  get size(): number {
    return this.slots.size;
  }

  /**
   * The room of a board, loaded if need be; undefined if there is no such board. Let it go when done.
   * @throws StoreError if the store cannot be read
   */
  async hold(board: BoardId): Promise<HeldRoom | undefined> {
    const slot = this.slots.get(board) ?? this.open(board);
    slot.holders += 1;
    clearTimeout(slot.timer);
    slot.timer = undefined;
    let released = false;
    const release = () => {
      if (released) return;
      released = true;
      slot.holders -= 1;
      if (slot.holders === 0) this.closeLater(board, slot);
    };
    let room: Room | undefined;
    try {
      room = await slot.room;
    } catch (error) {
      this.drop(board, slot);
      throw error;
    }
    if (!room) {
      this.drop(board, slot);
      return undefined;
    }
    try {
      await room.refresh();
    } catch (error) {
      release();
      if (error instanceof NoSuchBoard) return undefined;
      throw error;
    }
    return { room, release };
  }

  /**
   * What a board's room says to a question; undefined if there is no such board.
   * @throws StoreError if the store cannot be read
   */
  async ask<T>(board: BoardId, question: (room: Room) => T | Promise<T>): Promise<T | undefined> {
    const held = await this.hold(board);
    if (!held) return undefined;
    try {
      return await question(held.room);
    } finally {
      held.release();
    }
  }

  /** The room of a board if it is in memory already, as it is there. @throws StoreError if it is just being loaded, and cannot be */
  async inMemory(board: BoardId): Promise<Room | undefined> {
    return this.slots.get(board)?.room;
  }

  /** These boards were deleted: whoever has them open is told. */
  endDeleted(boards: readonly BoardId[]): void {
    for (const board of boards)
      this.slots.get(board)?.room.then(
        (room) => room?.contain(() => room.endDeleted()),
        // Whoever asked for it is told that it could not be read.
        () => undefined,
      );
  }

  /** Writes all that is waiting and lets every room go. Nobody may be in them any more. */
  async closeAll(): Promise<void> {
    const open = [...this.slots].map(([board, slot]) => {
      clearTimeout(slot.timer);
      return this.close(board, slot);
    });
    await Promise.all([...open, ...this.closings]);
  }

  private open(board: BoardId): Slot {
    const slot: Slot = {
      room: Room.load(board, this.world, () => this.drop(board, slot)),
      holders: 0,
      timer: undefined,
    };
    this.slots.set(board, slot);
    this.world.noteUse(board);
    return slot;
  }

  private drop(board: BoardId, slot: Slot): void {
    if (this.slots.get(board) !== slot) return;
    this.slots.delete(board);
    slot.room.then(
      (room) => room?.end(),
      () => undefined,
    );
  }

  private closeLater(board: BoardId, slot: Slot): void {
    if (this.slots.get(board) !== slot) return;
    const closing = () => {
      const work = this.close(board, slot).finally(() => this.closings.delete(work));
      this.closings.add(work);
    };
    if (this.lingerMs <= 0) closing();
    else slot.timer = setTimeout(closing, this.lingerMs);
  }

  /** Shortens the room's logs and lets it go, unless somebody has come meanwhile. */
  private async close(board: BoardId, slot: Slot): Promise<void> {
    await slot.room.then(
      (room) => room?.compact(),
      () => undefined,
    );
    if (slot.holders === 0 || this.slots.get(board) !== slot) this.drop(board, slot);
  }
}
