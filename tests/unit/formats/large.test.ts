import { expect, test } from 'vitest';
import { readAbc } from '../../../lib/formats/abc/read';
import { readMusicXml } from '../../../lib/formats/musicxml/read';

/** More than a call can be given as arguments (Node 20: some 120,000). */
const MANY = 200_000;

function abc(chord: string) {
  const read = readAbc(`X:1\nM:4/4\nL:1/8\nK:G\n${chord}8|]\n`, {});
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value.melody;
}

test('a chord of very many notes is read as its highest', () => {
  expect(abc(`[${'GB'.repeat(MANY)}]`)).toEqual(abc('[GB]'));
});

const NOTES =
  '<note><pitch><step>G</step><octave>4</octave></pitch><duration>4</duration><voice>1</voice><type>whole</type></note>';

function score(numbers: string) {
  const read = readMusicXml(
    `<score-partwise><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1">
<measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>${NOTES}</measure>
<measure number="2"><barline location="left"><ending number="${numbers}" type="start"/></barline>${NOTES}
<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/></barline></measure></part></score-partwise>`,
    {},
  );
  if (!read.ok || read.value.kind !== 'melody') throw new Error(JSON.stringify(read));
  return read.value.melody;
}

test('an ending that names its times very often is that ending', () => {
  expect(score(`1,2${',1'.repeat(MANY)}`)).toEqual(score('1,2'));
  expect(score('1,2')).not.toEqual(score('2'));
});
