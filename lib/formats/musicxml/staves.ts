import type { Finger } from '../../hands/hold';
import type { Neck } from '../../tuning';
import { openMidi } from '../../tuning';
import type { Midi, StringNumber } from '../../units';
import { midiOf } from '../pass';
import { signatureAlter, spelled } from '../spelling';
import type { Joint, Piece, PieceNote } from './pieces';

/** Source: MusicXML 4.0, accidental-value. */
const ACCIDENTALS: Readonly<Record<string, string>> = {
  '-2': 'flat-flat',
  '-1': 'flat',
  '0': 'natural',
  '1': 'sharp',
  '2': 'double-sharp',
};

const LETTERS: Readonly<Record<Joint, string>> = {
  'hammer-on': 'H',
  'pull-off': 'P',
  slide: 'sl',
};

/** What the text of a fretting-hand pluck says, for programs and people: MusicXML has no sign of its own. */
export const PLUCK_WORDS = 'fretting-hand pluck';

/** The finger on a string at a stroke, where one is known. */
export type FingerAt = (stroke: number, string: StringNumber) => Finger | undefined;

/** Writes the notes of measures on one neck in one key. */
export class Staves {
  private readonly pitches = new Map<Midi, string>();
  private accidentals = new Map<string, number>();

  constructor(
    private readonly neck: Neck,
    private readonly fifths: number,
  ) {}

  /** The measure on the notation staff (staff 1, voice 1), at sounding pitch. */
  notation(pieces: readonly Piece[]): string {
    this.accidentals = new Map();
    return pieces
      .map((piece) => this.sound(piece, (note, i) => this.notated(piece, note, i), 1))
      .join('');
  }

  /** The measure on the tab staff (staff 2, voice 5). */
  tab(pieces: readonly Piece[], fingerAt: FingerAt): string {
    return pieces
      .map((piece) => {
        const words = piece.dropped
          ? '<direction placement="below"><direction-type><words>T</words></direction-type><voice>5</voice><staff>2</staff></direction>'
          : '';
        return words + this.sound(piece, (note, i) => this.tabbed(piece, note, i, fingerAt), 2);
      })
      .join('');
  }

  private sound(piece: Piece, write: (note: PieceNote, i: number) => string, staff: 1 | 2): string {
    if (piece.notes.length > 0) return piece.notes.map(write).join('');
    const voice = staff === 1 ? 1 : 5;
    return `<note><rest/><duration>${piece.value.ticks}</duration><voice>${voice}</voice>${valueXml(piece)}<staff>${staff}</staff>${wrapped(tupletXml(piece))}</note>`;
  }

  private pitch(midi: Midi): string {
    const known = this.pitches.get(midi);
    if (known) return known;
    const { letter, alter, octave } = spelled(midi, this.fifths);
    const made = `<pitch><step>${letter}</step>${alter === 0 ? '' : `<alter>${alter}</alter>`}<octave>${octave}</octave></pitch>`;
    this.pitches.set(midi, made);
    return made;
  }

  /** The sign that this note needs after those of the measure before it, if any. */
  private accidental(midi: Midi): string {
    const { letter, alter, octave } = spelled(midi, this.fifths);
    const name = `${letter}${octave}`;
    if (alter === (this.accidentals.get(name) ?? signatureAlter(letter, this.fifths))) return '';
    this.accidentals.set(name, alter);
    const value = ACCIDENTALS[alter];
    return value === undefined ? '' : `<accidental>${value}</accidental>`;
  }

  private notated(piece: Piece, note: PieceNote, i: number): string {
    const midi = midiOf(this.neck, note);
    const sign = piece.tiedFrom ? '' : this.accidental(midi);
    const beams =
      i > 0 ? '' : piece.beams.map((beam, l) => `<beam number="${l + 1}">${beam}</beam>`).join('');
    const marks =
      tiedXml(piece) + jointXml(note) + (i === 0 ? tupletXml(piece) : '') + arpeggioXml(piece);
    return `<note>${i > 0 ? '<chord/>' : ''}${this.pitch(midi)}<duration>${piece.value.ticks}</duration>${tieXml(piece)}<voice>1</voice>${valueXml(piece, sign)}${headXml(piece)}<staff>1</staff>${beams}${wrapped(marks)}</note>`;
  }

  private tabbed(piece: Piece, note: PieceNote, i: number, fingerAt: FingerAt): string {
    const midi = midiOf(this.neck, note);
    const technical = technicalXml(piece, note, midi - openMidi(this.neck, note.string), fingerAt);
    const marks =
      tiedXml(piece) +
      jointXml(note) +
      (i === 0 ? tupletXml(piece) : '') +
      technical +
      arpeggioXml(piece);
    return `<note>${i > 0 ? '<chord/>' : ''}${this.pitch(midi)}<duration>${piece.value.ticks}</duration>${tieXml(piece)}<voice>5</voice>${valueXml(piece)}<stem>none</stem>${headXml(piece)}<staff>2</staff>${wrapped(marks)}</note>`;
  }
}

/** Type, dots, accidental and time modification, in the order of the schema. */
function valueXml({ value: { type, dots, triplet } }: Piece, accidental = ''): string {
  const modified = triplet
    ? '<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>'
    : '';
  return `${type === undefined ? '' : `<type>${type}</type>`}${dots === 1 ? '<dot/>' : ''}${accidental}${modified}`;
}

function headXml({ by }: Piece): string {
  return by === 'chop' ? '<notehead>x</notehead>' : '';
}

function tieXml({ tiedFrom, tiedTo }: Piece): string {
  return `${tiedFrom ? '<tie type="stop"/>' : ''}${tiedTo ? '<tie type="start"/>' : ''}`;
}

function tiedXml({ tiedFrom, tiedTo }: Piece): string {
  return `${tiedFrom ? '<tied type="stop"/>' : ''}${tiedTo ? '<tied type="start"/>' : ''}`;
}

function tupletXml({ tuplet }: Piece): string {
  return tuplet.map((type) => `<tuplet type="${type}" number="1"/>`).join('');
}

function arpeggioXml({ by, tiedFrom }: Piece): string {
  return by === 'brush' && !tiedFrom ? '<arpeggiate direction="up"/>' : '';
}

/** The slur of a hammer-on or pull-off, or the line of a slide. Each string has a number of its own, so that lines do not mix. */
function jointXml({ string, stops, started, starts }: PieceNote): string {
  const one = (joint: Joint, type: 'start' | 'stop') =>
    joint === 'slide'
      ? `<slide type="${type}" number="${string}" line-type="solid">${type === 'start' ? LETTERS.slide : ''}</slide>`
      : `<slur type="${type}" number="${string}"/>`;
  const ends = stops && (started || stops === 'slide') ? one(stops, 'stop') : '';
  return ends + (starts ? one(starts, 'start') : '');
}

function technicalXml(piece: Piece, note: PieceNote, fret: number, fingerAt: FingerAt): string {
  const { string, stops, started, starts } = note;
  const finger = piece.tiedFrom ? undefined : fingerAt(piece.stroke, string);
  const parts = [
    stops && stops !== 'slide'
      ? `<${stops} type="stop" number="${string}">${started ? '' : LETTERS[stops]}</${stops}>`
      : '',
    starts && starts !== 'slide'
      ? `<${starts} type="start" number="${string}">${LETTERS[starts]}</${starts}>`
      : '',
    finger === undefined ? '' : `<fingering>${finger}</fingering>`,
    piece.by === 'thumb' && !piece.tiedFrom ? '<pluck>p</pluck>' : '',
    piece.by === 'pluck' && !piece.tiedFrom
      ? `<other-technical>${PLUCK_WORDS}</other-technical>`
      : '',
    `<string>${string}</string><fret>${fret}</fret>`,
  ];
  return `<technical>${parts.join('')}</technical>`;
}

function wrapped(marks: string): string {
  return marks === '' ? '' : `<notations>${marks}</notations>`;
}
