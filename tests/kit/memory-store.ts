import type { BoardId, Ms } from '../../lib/units';
import type { Codes } from '../../server/codes';
import { LocalCodes } from '../../server/codes';
import type { SharedStore, Stretch } from '../../server/store/shared';
import type {
  KeptLink,
  LoggedUpdate,
  NewBoard,
  NewPoint,
  PointNote,
} from '../../server/store/store';
import { StoreError } from '../../server/store/store';
import type { DocumentName, Role } from '../../shared/board/roles';

interface Row extends LoggedUpdate {
  readonly number: number;
}

interface Kept {
  version: number;
  rows: Row[];
  links: { readonly hash: string; readonly role: Role }[];
  points: { readonly number: number; readonly point: NewPoint }[];
  /** The number of the newest point that there ever was. */
  lastPoint: number;
  /** Documents that are gone for good. */
  readonly gone: Set<DocumentName>;
  usedMs?: Ms;
}

/** What a shared database holds, in memory: stands in the place of PostgreSQL for hundreds of schedules, and passes the suites that it passes. */
export class MemoryDatabase {
  readonly boards = new Map<BoardId, Kept>();
  ranMs?: Ms;
  readonly settings = new Map<string, string>();
  codes: Codes | undefined;
}

/** How the line from one node to the database fares, at the will of a test. */
export interface Line {
  /** Nothing goes through, and whoever asks is told so. */
  isCut: boolean;
  /** Does this question take a while, and does its answer get lost after it was done? */
  readonly isSlow: () => boolean;
  readonly losesAnswer: () => boolean;
}

const GOOD_LINE: Line = { isCut: false, isSlow: () => false, losesAnswer: () => false };

/** One node's way to a `MemoryDatabase`. */
export class MemoryStore implements SharedStore {
  private readonly writing = new Map<BoardId, Promise<unknown>>();

  constructor(
    private readonly database: MemoryDatabase,
    private readonly line: Line = GOOD_LINE,
  ) {}

  create(board: NewBoard, entries: readonly LoggedUpdate[]): Promise<void> {
    const { id } = board;
    return this.inTurn(id, () => {
      if (this.database.boards.has(id)) throw new StoreError(`there is a board ${id}`);
      const rows = entries.map((entry, at) => ({ ...entry, number: at + 1 }));
      const links = [...board.links];
      const { length: version } = rows;
      this.database.boards.set(id, {
        version,
        rows,
        links,
        points: [],
        lastPoint: 0,
        gone: new Set(),
      });
    });
  }

  append(
    id: BoardId,
    entries: readonly LoggedUpdate[],
    gone: readonly DocumentName[] = [],
  ): Promise<void> {
    return this.inTurn(id, () => {
      if (this.write(id, undefined, entries, gone) === undefined)
        throw new StoreError(`there is no board ${id}`);
      this.clearPoints(id, gone);
    });
  }

  appendNext(
    id: BoardId,
    known: number,
    entries: readonly LoggedUpdate[],
    gone: readonly DocumentName[],
  ): Promise<number | undefined> {
    return this.inTurn(id, () => {
      const version = this.write(id, known, entries, gone);
      if (version !== undefined) this.clearPoints(id, gone);
      return version;
    });
  }

  compactNext(
    id: BoardId,
    known: number,
    snapshots: readonly LoggedUpdate[],
  ): Promise<number | undefined> {
    const names = snapshots.map(({ document }) => document);
    return this.inTurn(id, () => this.write(id, known, snapshots, names));
  }

  async load(id: BoardId): Promise<readonly LoggedUpdate[] | undefined> {
    return (await this.since(id, 0))?.entries;
  }

  since(id: BoardId, known: number): Promise<Stretch | undefined> {
    return this.ask(() => {
      const kept = this.database.boards.get(id);
      if (!kept) return undefined;
      const later = kept.rows.filter(({ number }) => number > known);
      const entries = later.map(({ document, update }) => ({ document, update: update.slice() }));
      return { version: kept.version, entries };
    });
  }

  versions(ids: readonly BoardId[]): Promise<ReadonlyMap<BoardId, number>> {
    const versionOf = (id: BoardId) => this.database.boards.get(id)?.version;
    return this.ask(
      () =>
        new Map(
          ids.flatMap((id) => {
            const version = versionOf(id);
            return version === undefined ? [] : [[id, version] as const];
          }),
        ),
    );
  }

  compact(id: BoardId, snapshots: readonly LoggedUpdate[]): Promise<void> {
    const names = snapshots.map(({ document }) => document);
    return this.inTurn(id, () => {
      if (this.write(id, undefined, snapshots, names) === undefined)
        throw new StoreError(`there is no board ${id}`);
    });
  }

  keepPoint(id: BoardId, point: NewPoint): Promise<number> {
    return this.inTurn(id, () => {
      const kept = this.database.boards.get(id);
      if (!kept) throw new StoreError(`there is no board ${id}`);
      kept.lastPoint += 1;
      const documents = point.documents.filter(({ document }) => !kept.gone.has(document));
      kept.points.push({ number: kept.lastPoint, point: { ...point, documents } });
      return kept.lastPoint;
    });
  }

  listPoints(id: BoardId): Promise<readonly PointNote[]> {
    return this.ask(() =>
      (this.database.boards.get(id)?.points ?? []).map(({ number, point }) => {
        const { documents, ...note } = point;
        const size = documents.reduce((sum, { update }) => sum + update.length, 0);
        return { ...note, number, size };
      }),
    );
  }

  readPoint(id: BoardId, number: number): Promise<readonly LoggedUpdate[] | undefined> {
    const pointsOf = () => this.database.boards.get(id)?.points ?? [];
    return this.ask(() => pointsOf().find((point) => point.number === number)?.point.documents);
  }

  dropPoints(id: BoardId, numbers: readonly number[]): Promise<void> {
    return this.inTurn(id, () => {
      const kept = this.database.boards.get(id);
      if (kept) kept.points = kept.points.filter(({ number }) => !numbers.includes(number));
    });
  }

  noteTime(atMs: Ms, mostMs: Ms): Promise<void> {
    return this.ask(() => {
      const used = [...this.database.boards.values()].flatMap(({ usedMs }) => usedMs ?? []);
      const last = this.database.ranMs ?? (used.length > 0 ? Math.max(...used) : atMs);
      const gap = atMs - last;
      this.database.ranMs = atMs;
      if (gap >= 0 && gap <= mostMs) return;
      for (const kept of this.database.boards.values())
        if (kept.usedMs !== undefined) kept.usedMs += gap;
    });
  }

  touch(ids: readonly BoardId[], atMs: Ms): Promise<void> {
    return this.ask(() => {
      for (const id of ids) {
        const kept = this.database.boards.get(id);
        if (kept) kept.usedMs = Math.max(kept.usedMs ?? atMs, atMs);
      }
    });
  }

  removeIdle(beforeMs: Ms, nowMs: Ms): Promise<readonly BoardId[]> {
    return this.ask(() => {
      for (const kept of this.database.boards.values()) kept.usedMs ??= nowMs;
      const idle = [...this.database.boards].filter(([, { usedMs }]) => (usedMs ?? 0) < beforeMs);
      for (const [id] of idle) this.database.boards.delete(id);
      return idle.map(([id]) => id).sort();
    });
  }

  remove(id: BoardId): Promise<boolean> {
    return this.inTurn(id, () => this.database.boards.delete(id));
  }

  findLink(hash: string) {
    return this.ask(() => {
      for (const [board, { links }] of this.database.boards)
        for (const link of links) if (link.hash === hash) return { board, role: link.role };
      return undefined;
    });
  }

  presentLink(id: BoardId, role: Role): Promise<string | undefined> {
    return this.ask(() => {
      const links = this.database.boards.get(id)?.links;
      return links?.find((link) => link.role === role)?.hash;
    });
  }

  renewLink(id: BoardId, link: KeptLink): Promise<void> {
    return this.inTurn(id, () => {
      const kept = this.database.boards.get(id);
      if (!kept) throw new StoreError(`there is no board ${id}`);
      kept.links = [...kept.links.filter(({ role }) => role !== link.role), link];
    });
  }

  countBoards(): Promise<number> {
    return this.ask(() => this.database.boards.size);
  }

  time(): Promise<number> {
    return this.ask(() => performance.timeOrigin + performance.now());
  }

  settle(name: string, offered: string): Promise<string> {
    return this.ask(() => {
      const value = this.database.settings.get(name) ?? offered;
      this.database.settings.set(name, value);
      return value;
    });
  }

  codes(now: () => Ms): Codes {
    this.database.codes ??= new LocalCodes(now);
    return this.database.codes;
  }

  copyTo(): Promise<void> {
    return Promise.reject(new StoreError('memory is not copied'));
  }

  async close(): Promise<void> {
    await Promise.allSettled(this.writing.values());
  }

  private write(
    id: BoardId,
    known: number | undefined,
    entries: readonly LoggedUpdate[],
    gone: readonly DocumentName[],
  ): number | undefined {
    const kept = this.database.boards.get(id);
    if (!kept || (known !== undefined && kept.version !== known)) return undefined;
    const left = kept.rows.filter(({ document }) => !gone.includes(document));
    const first = kept.version + 1;
    const rows = entries.map(({ document, update }, at) => ({
      document,
      update: update.slice(),
      number: first + at,
    }));
    kept.rows = [...left, ...rows];
    kept.version += entries.length;
    return kept.version;
  }

  private clearPoints(id: BoardId, gone: readonly DocumentName[]): void {
    const kept = this.database.boards.get(id);
    if (!kept || gone.length === 0) return;
    for (const document of gone) kept.gone.add(document);
    const isLeft = ({ document }: LoggedUpdate) => !gone.includes(document);
    kept.points = kept.points.map(({ number, point }) => ({
      number,
      point: { ...point, documents: point.documents.filter(isLeft) },
    }));
  }

  private inTurn<T>(id: BoardId, work: () => T): Promise<T> {
    const before = this.writing.get(id) ?? Promise.resolve();
    const turn = before.then(
      () => this.ask(work),
      () => this.ask(work),
    );
    this.writing.set(id, turn);
    return turn;
  }

  /** Does something over this line, some turns of the event loop later. */
  private async ask<T>(work: () => T): Promise<T> {
    const turns = this.line.isSlow() ? 30 : 1;
    for (let turn = 0; turn < turns; turn += 1) await new Promise((next) => setImmediate(next));
    if (this.line.isCut) throw new StoreError('the line to the database is cut (says the test)');
    const answer = work();
    if (this.line.losesAnswer()) throw new StoreError('the answer was lost (says the test)');
    return answer;
  }
}
