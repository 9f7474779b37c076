import type { Meter } from '../../rhythm';
import type { Tune } from '../../tune';
import type { Neck } from '../../tuning';
import { openMidi } from '../../tuning';
import type { Bpm, StringNumber } from '../../units';
import { TICKS_PER_QUARTER } from '../../units';
import type { OwnMeter } from '../bars';
import { signatureOf, spelled } from '../spelling';

/**
 * The tab staff's strings without the capo, the bottom line being string 5. A drone that is raised by more or less than the capo is
 * written at its sounding pitch minus the capo, since MusicXML has one capo for all strings.
 * Source: MusicXML 4.0, staff-tuning (lines from the bottom) and capo (raises what staff-tuning says).
 */
function stringsXml(neck: Neck, fifths: number): string {
  const strings: readonly StringNumber[] = [5, 4, 3, 2, 1];
  return strings
    .map((string) => {
      const { letter, alter, octave } = spelled(openMidi(neck, string) - neck.capo, fifths);
      const altered = alter === 0 ? '' : `<tuning-alter>${alter}</tuning-alter>`;
      return `<staff-tuning line="${6 - string}"><tuning-step>${letter}</tuning-step>${altered}<tuning-octave>${octave}</tuning-octave></staff-tuning>`;
    })
    .join('');
}

function timeXml({ name, beats, unit }: OwnMeter & { readonly name?: string }): string {
  const sign = name === '2/2' ? ' symbol="cut"' : '';
  return `<time${sign}><beats>${beats}</beats><beat-type>${unit}</beat-type></time>`;
}

/** Divisions, key, the first measure's time, and the two staves: notation an octave above its sound by its clef, and tab that is not played again. */
export function attributesXml({ neck, key }: Pick<Tune, 'neck' | 'key'>, time: OwnMeter): string {
  const fifths = signatureOf(key);
  const capo = neck.capo === 0 ? '' : `<capo>${neck.capo}</capo>`;
  return [
    `<attributes><divisions>${TICKS_PER_QUARTER}</divisions>`,
    `<key><fifths>${fifths}</fifths><mode>${key.mode}</mode></key>`,
    `${timeXml(time)}<staves>2</staves>`,
    '<clef number="1"><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>',
    '<clef number="2"><sign>TAB</sign><line>5</line></clef>',
    '<staff-details number="2"><staff-type>alternate</staff-type><staff-lines>5</staff-lines>',
    `${stringsXml(neck, fifths)}${capo}</staff-details></attributes>`,
  ].join('');
}

/** The meter of measures of another length from here on, or the tune's own again. */
export function changeOfTimeXml(meter: OwnMeter): string {
  return `<attributes>${timeXml(meter)}</attributes>`;
}

function beatXml({ beat }: Meter): string {
  if (beat === 3 * (TICKS_PER_QUARTER / 2)) return '<beat-unit>quarter</beat-unit><beat-unit-dot/>';
  return `<beat-unit>${beat === 2 * TICKS_PER_QUARTER ? 'half' : 'quarter'}</beat-unit>`;
}

/** The tempo over the notation staff: printed in the meter's beats, played in quarters a minute. */
export function tempoXml(meter: Meter, tempo: Bpm): string {
  const rounded = (value: number) => Number(value.toFixed(6));
  return `<direction placement="above"><direction-type><metronome>${beatXml(meter)}<per-minute>${rounded(tempo)}</per-minute></metronome></direction-type><staff>1</staff><sound tempo="${rounded((tempo * meter.beat) / TICKS_PER_QUARTER)}"/></direction>`;
}
