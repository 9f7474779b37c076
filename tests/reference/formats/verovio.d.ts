/** What the tests use of verovio 6.3.0, which ships no types. */
declare module 'verovio/wasm' {
  export interface VerovioModule {
    readonly __verovio: never;
  }
  export default function createVerovioModule(): Promise<VerovioModule>;
}

declare module 'verovio/esm' {
  import type { VerovioModule } from 'verovio/wasm';

  export const LOG_WARNING: number;
  export function enableLog(level: number, verovio: VerovioModule): void;
  export function enableLogToBuffer(on: boolean, verovio: VerovioModule): void;
  export class VerovioToolkit {
    constructor(verovio: VerovioModule);
    setOptions(options: Readonly<Record<string, unknown>>): void;
    loadData(text: string): boolean;
    getLog(): string;
    renderToTimemap(): readonly {
      readonly qstamp: number;
      readonly on?: readonly string[];
      readonly off?: readonly string[];
    }[];
    getMIDIValuesForElement(id: string): { readonly pitch: number };
    renderToSVG(page: number): string;
  }
}
