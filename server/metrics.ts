import type { IntervalHistogram } from 'node:perf_hooks';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import type { Ms } from '../lib/units';
import type { Refusal } from '../shared/wire/refusal';

/** Upper ends of the buckets for writes to the disk, seconds. A sync takes 0.1 ms on good flash and 20 ms on a turning disk. */
const WRITE_BUCKETS = [0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5, 1, 5];

/** What can be seen now, from outside what is counted here. */
export interface Gauges {
  readonly rooms: number;
  readonly sockets: number;
  readonly boards: number;
  readonly uptimeSeconds: number;
  /** Absent where there is one server alone. */
  readonly others?: { readonly heard: number; readonly blindForMs: Ms } | undefined;
}

/** What the server counts about itself. Nothing in it tells of a board or a person. */
export class Metrics {
  private messages = 0;
  private updates = 0;
  private readonly refusals = new Map<Refusal['code'], number>();
  private readonly writes = WRITE_BUCKETS.map(() => 0);
  private writeCount = 0;
  private writeSeconds = 0;
  private failedWrites = 0;
  private readonly delay: IntervalHistogram;

  constructor() {
    this.delay = monitorEventLoopDelay({ resolution: 10 });
    this.delay.enable();
  }

  noteMessage(): void {
    this.messages += 1;
  }

  noteUpdate(): void {
    this.updates += 1;
  }

  noteRefusal(code: Refusal['code']): void {
    this.refusals.set(code, (this.refusals.get(code) ?? 0) + 1);
  }

  /** A batch was on disk, synced, after this long. */
  noteWrite(took: Ms): void {
    const seconds = took / 1000;
    this.writeCount += 1;
    this.writeSeconds += seconds;
    for (const [index, end] of WRITE_BUCKETS.entries())
      if (seconds <= end) this.writes[index] = (this.writes[index] ?? 0) + 1;
  }

  noteFailedWrite(): void {
    this.failedWrites += 1;
  }

  stop(): void {
    this.delay.disable();
  }

  /** All of it in the Prometheus text format, version 0.0.4; the delay of the event loop since the last time it was asked for. */
  text(gauges: Gauges): string {
    const lines = [
      ...one('passround_uptime_seconds', 'gauge', 'since the server started', gauges.uptimeSeconds),
      ...one('passround_rooms', 'gauge', 'boards in memory', gauges.rooms),
      ...one('passround_sockets', 'gauge', 'open sockets', gauges.sockets),
      ...one('passround_boards', 'gauge', 'boards that are kept', gauges.boards),
      ...(gauges.others ? othersText(gauges.others) : []),
      ...one('passround_messages_total', 'counter', 'messages received', this.messages),
      ...one('passround_updates_total', 'counter', 'changes taken', this.updates),
      ...head('passround_refusals_total', 'counter', 'messages refused, by reason'),
      ...[...this.refusals]
        .sort()
        .map(([code, count]) => `passround_refusals_total{code="${code}"} ${count}`),
      ...head('passround_write_seconds', 'histogram', 'until a batch was on disk, synced'),
      ...WRITE_BUCKETS.map(
        (end, index) => `passround_write_seconds_bucket{le="${end}"} ${this.writes[index] ?? 0}`,
      ),
      `passround_write_seconds_bucket{le="+Inf"} ${this.writeCount}`,
      `passround_write_seconds_sum ${this.writeSeconds}`,
      `passround_write_seconds_count ${this.writeCount}`,
      ...one('passround_failed_writes_total', 'counter', 'batches not kept', this.failedWrites),
      ...head('passround_event_loop_delay_seconds', 'gauge', 'since the last time asked'),
      ...[50, 95, 99].map(
        (percent) =>
          `passround_event_loop_delay_seconds{quantile="${percent / 100}"} ${this.delay.percentile(percent) / 1e9}`,
      ),
      ...one(
        'process_resident_memory_bytes',
        'gauge',
        'memory of the process',
        process.memoryUsage.rss(),
      ),
    ];
    this.delay.reset();
    return `${lines.join('\n')}\n`;
  }
}

function othersText({ heard, blindForMs }: { heard: number; blindForMs: Ms }): readonly string[] {
  const blind = blindForMs / 1000;
  return [
    ...one('passround_other_nodes', 'gauge', 'other servers that are heard', heard),
    ...one('passround_database_away_seconds', 'gauge', 'without an answer', blind),
  ];
}

function head(name: string, type: string, help: string): readonly string[] {
  return [`# HELP ${name} ${help}`, `# TYPE ${name} ${type}`];
}

function one(name: string, type: string, help: string, value: number): readonly string[] {
  return [...head(name, type, help), `${name} ${value}`];
}
