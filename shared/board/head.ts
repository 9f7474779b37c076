import * as v from 'valibot';
import type * as Y from 'yjs';
import type { Tune } from '../../lib/tune';
import type { Report } from './parsed';
import { read } from './parsed';
import { LEAD_DOCUMENT } from './roles';
import { LEAD } from './schema';
import type { HeadValue } from './values';
import { headFields, headValue } from './values';

type Head = Omit<Tune, 'parts'>;

/** What stands for what cannot be read of a tune's head. Without it nobody could open the board, nor a leader return it to how it was. */
const USUAL: HeadValue = {
  title: 'A tune without a name',
  tuning: 'gDGBD',
  capo: 0,
  drone: 0,
  meter: '2/2',
  key: { tonic: 'G', mode: 'major' },
  tempo: 80,
  form: ['A'],
};

/** The head as far as it can be read, and the usual for the rest. */
function readable(raw: Readonly<Record<string, unknown>>): Head {
  const fields = Object.entries(headFields).map(([name, schema]) => {
    const value = Object.hasOwn(raw, name) ? raw[name] : undefined;
    return [name, v.is(schema, value) ? value : USUAL[name as keyof HeadValue]] as const;
  });
  return v.parse(headValue, Object.fromEntries(fields));
}

/** The head of a board's tune; undefined where nothing of it was ever there (not loaded yet, or no board). */
export function readHead(lead: Y.Doc, report: Report): Head | undefined {
  const map = lead.getMap(LEAD.head);
  // What was taken away left its name.
  if (map._map.size === 0) return undefined;
  const raw = Object.fromEntries(map.entries());
  return read(headValue, raw, report, 'head', { document: LEAD_DOCUMENT }) ?? readable(raw);
}
