import { shiftOf } from './key';
import type { Token } from './lex';
import { tokensOf } from './lex';
import type { Findings } from './problem';
import { leaveOut } from './problem';
import type { AbcSource } from './source';

/** The tune's music as one row of tokens: one voice, fields included. */
export interface VoiceLine {
  readonly tokens: readonly Token[];
  /** Semitones that the voice's own clef moves the notes by. */
  readonly shift: number;
}

function voiceId(value: string): string {
  return value.trim().split(/\s/)[0] ?? '';
}

/** All tokens of the body, lines and inline fields alike. */
function allTokens(source: AbcSource, findings: Findings): readonly Token[] {
  return source.body.flatMap((line): readonly Token[] =>
    line.kind === 'field'
      ? [{ kind: 'field', ...line.field }]
      : tokensOf(line.text, line.line, findings),
  );
}

/** The first voice that has notes; a tune without V: is one voice. That there were others is noted in `findings`. */
export function firstVoice(source: AbcSource, findings: Findings): VoiceLine {
  const byVoice = new Map<string, Token[]>();
  const definitions = source.header
    .filter(({ letter }) => letter === 'V')
    .map(({ value }) => value);
  let current = '';
  for (const token of allTokens(source, findings)) {
    if (token.kind === 'field' && token.letter === 'V') {
      definitions.push(token.value);
      current = voiceId(token.value);
      continue;
    }
    const tokens = byVoice.get(current);
    if (tokens) tokens.push(token);
    else byVoice.set(current, [token]);
  }
  const sounding = [...byVoice].filter(([, tokens]) => tokens.some(({ kind }) => kind === 'note'));
  const [first] = sounding;
  if (sounding.length > 1)
    leaveOut(findings, 'The tune has several voices and the first one was taken');
  const definition = definitions.find((value) => voiceId(value) === first?.[0]) ?? '';
  return { tokens: first?.[1] ?? [], shift: shiftOf(definition) };
}
