import { arrange } from '../../lib/arrange/arrange';
import { DEMO_ABC } from '../../lib/demo-tune';
import { familyById } from '../../lib/embellish/all';
import type { FamilyId } from '../../lib/embellish/family';
import { readAbc } from '../../lib/formats/abc/read';
import type { Stroke } from '../../lib/tab/measure';
import type { Tune } from '../../lib/tune';
import { measureOf } from '../../lib/tune';
import type { MeasureId, ParticipantId, VariantId } from '../../lib/units';
import { DocumentFamily } from './documents';
import type { Role } from './roles';
import { ballotOf, saidBy } from './roles';
import type { BallotId } from './schema';
import { plainId } from './schema';
import {
  writeApproval,
  writeArrivals,
  writeName,
  writePasses,
  writePerson,
  writeProposal,
  writeTune,
} from './write';

/** An invented workshop of four, so that a newcomer finds something to look at, to vote on and to go on from. */
type Who = 'Wren' | 'Fern' | 'Jules' | 'Moss';

const PEOPLE: Readonly<Record<Who, { readonly id: ParticipantId; readonly role: Role }>> = {
  Wren: { id: 'demowren0001' as ParticipantId, role: 'lead' },
  Fern: { id: 'demofern0002' as ParticipantId, role: 'join' },
  Jules: { id: 'demojules003' as ParticipantId, role: 'join' },
  Moss: { id: 'demomoss0004' as ParticipantId, role: 'join' },
};
const NAMES: readonly Who[] = ['Wren', 'Fern', 'Jules', 'Moss'];

interface DemoVariant {
  readonly by: Who;
  /** Number of the measure in the tune, from 1. */
  readonly measure: number;
  /** Families in the order in which they are applied, each at the stroke that then has this index; the usual offer is taken. */
  readonly steps: readonly (readonly [FamilyId, number])[];
  readonly note: string;
  readonly approvedBy: readonly Who[];
}

const VARIANTS: readonly DemoVariant[] = [
  {
    by: 'Wren',
    measure: 1,
    steps: [['slide', 0]],
    note: 'Keep the finger down until the open string has sounded.',
    approvedBy: ['Wren', 'Fern', 'Moss'],
  },
  {
    by: 'Fern',
    measure: 1,
    steps: [['double-thumb', 3]],
    note: '',
    approvedBy: ['Fern'],
  },
  {
    by: 'Jules',
    measure: 1,
    steps: [
      ['pull-off', 3],
      ['hammer-on', 0],
    ],
    note: 'Something in both halves. Too much?',
    approvedBy: ['Jules', 'Moss'],
  },
  {
    by: 'Moss',
    measure: 2,
    steps: [['drop-thumb', 3]],
    note: 'The thumb walks instead of the brush.',
    approvedBy: ['Moss', 'Jules', 'Wren'],
  },
  { by: 'Fern', measure: 3, steps: [['hammer-on', 0]], note: '', approvedBy: ['Fern', 'Wren'] },
  {
    by: 'Wren',
    measure: 4,
    steps: [['pull-off', 3]],
    note: 'Leads nicely into the repeat.',
    approvedBy: ['Wren', 'Jules'],
  },
  {
    by: 'Jules',
    measure: 9,
    steps: [['slide', 0]],
    note: 'For the start of the second part.',
    approvedBy: ['Jules', 'Fern', 'Wren'],
  },
  {
    by: 'Moss',
    measure: 9,
    steps: [['drop-thumb', 3]],
    note: '',
    approvedBy: ['Moss', 'Fern'],
  },
];

const PLAIN_APPROVALS: readonly (readonly [measure: number, readonly Who[]])[] = [
  [1, ['Fern']],
  [8, ['Wren', 'Moss']],
  [9, ['Moss']],
];

/** The demo tune as basic clawhammer tab. @throws RangeError if it cannot be arranged (a mistake of ours) */
function demoTune(): Tune {
  const read = readAbc(DEMO_ABC);
  if (!read.ok) throw new RangeError(`the demo cannot be read: ${JSON.stringify(read.problems)}`);
  const arranged = arrange(read.value.melody);
  if (!arranged.ok)
    throw new RangeError(`the demo cannot be arranged: ${JSON.stringify(arranged.problems)}`);
  return arranged.value.tune;
}

/** @throws RangeError if a family does not offer anything there (a mistake of ours) */
function strokesOf(tune: Tune, number: number, steps: DemoVariant['steps']): readonly Stroke[] {
  const plain = tune.parts.flatMap(({ measures }) => measures)[number - 1];
  if (!plain) throw new RangeError(`the demo has no measure ${number}`);
  return steps.reduce<readonly Stroke[]>((strokes, [id, stroke]) => {
    const answer = familyById(id).apply(measureOf(tune.meter, plain, strokes), stroke, tune.neck);
    const [offer] = answer.offers;
    if (!offer)
      throw new RangeError(`no ${id} at stroke ${stroke} of the demo's measure ${number}`);
    return offer.strokes;
  }, plain.strokes);
}

function measureIdOf(tune: Tune, number: number): MeasureId {
  const plain = tune.parts.flatMap(({ measures }) => measures)[number - 1];
  if (!plain) throw new RangeError(`the demo has no measure ${number}`);
  return plain.id;
}

function approve(family: DocumentFamily, who: readonly Who[], id: BallotId): void {
  for (const name of who) writeApproval(family.open(ballotOf(PEOPLE[name].id)), id, true);
}

/** A board to look around on: the demo tune in the middle of a workshop, voting open. Takes some 50 ms. */
export function demoDocuments(): DocumentFamily {
  const family = new DocumentFamily();
  const tune = demoTune();
  writeTune(family.lead, tune);
  writePasses(family.lead, 6);
  for (const name of NAMES) {
    const { id, role } = PEOPLE[name];
    writePerson(family.house, id, role);
    writeName(family.open(saidBy(id)), name);
  }
  const arrived: VariantId[] = [];
  for (const { by, measure, steps, note, approvedBy } of VARIANTS) {
    const { id: author } = PEOPLE[by];
    const proposal = {
      measure: measureIdOf(tune, measure),
      strokes: strokesOf(tune, measure, steps),
      note,
    };
    const id = writeProposal(family.open(saidBy(author)), author, proposal);
    arrived.push(id);
    approve(family, approvedBy, id);
  }
  writeArrivals(family.house, arrived);
  for (const [measure, who] of PLAIN_APPROVALS)
    approve(family, who, plainId(measureIdOf(tune, measure)));
  return family;
}
