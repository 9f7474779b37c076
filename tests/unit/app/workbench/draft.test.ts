import { describe, expect, test } from 'vitest';
import type { Draft } from '../../../../app/_islands/workbench/draft';
import { afterAct, draftOf, obstaclesOf } from '../../../../app/_islands/workbench/draft';
import { actOfKey } from '../../../../app/_islands/workbench/keys';
import { neckOf, TUNINGS } from '../../../../lib/tuning';
import { bar, textOf } from '../../../kit/tab';

const [OPEN_G] = TUNINGS;
if (!OPEN_G) throw new RangeError('no tunings');
const NECK = neckOf(OPEN_G);
const PLAIN = bar('4/4', 's3 . b123 t5 | s1 . b123 t5');

/** The draft after these keys, spelled as browsers name them; "^z" is with Ctrl. */
function typed(keys: string, from: Draft = draftOf(PLAIN, NECK)): Draft {
  return keys.split(' ').reduce((draft, key) => {
    const held = { ctrlKey: key.startsWith('^'), metaKey: false, altKey: false, shiftKey: false };
    const act = actOfKey({ key: key.replace('^', ''), ...held });
    if (!act) throw new RangeError(`no act for ${key}`);
    return afterAct(draft, act);
  }, from);
}

describe('the workbench by keyboard', () => {
  test.each([
    ['a digit sets the fret where the hand is', '2', 's3.2 . b123 t5 | s1 . b123 t5'],
    ['two digits make one fret', '1 2', 's3.12 . b123 t5 | s1 . b123 t5'],
    [
      'three digits begin again where the fret would leave the neck',
      '1 2 3',
      's3.3 . b123 t5 | s1 . b123 t5',
    ],
    ['moving away ends a fret', '1 ArrowDown ArrowUp 2', 's3.2 . b123 t5 | s1 . b123 t5'],
    [
      'the drone waits for the second digit of fret 10',
      'ArrowDown ArrowDown ArrowRight 1 0',
      's3 t5.10 b123 t5 | s1 . b123 t5',
    ],
    ['an empty up slot takes a thumb', 'ArrowRight ArrowDown 0', 's3 t4 b123 t5 | s1 . b123 t5'],
    ['a letter sets the kind', 'ArrowRight 2 h', 's3 h3.2 b123 t5 | s1 . b123 t5'],
    [
      'Delete takes the string away',
      'End ArrowDown ArrowDown Delete',
      's3 . b123 t5 | s1 . b123 .',
    ],
    ['undo goes back a step at a time', '2 ArrowRight 4 h ^z ^z', 's3.2 . b123 t5 | s1 . b123 t5'],
    ['redo goes forth again', '2 ArrowRight 4 h ^z ^z ^y ^y', 's3.2 h3.4 b123 t5 | s1 . b123 t5'],
    ['a new step ends the way forth', '2 ^z 3 ^y', 's3.3 . b123 t5 | s1 . b123 t5'],
    ['nothing to undo changes nothing', '^z', 's3 . b123 t5 | s1 . b123 t5'],
  ])('%s', (_, keys, after) => expect(textOf(typed(keys).measure)).toBe(textOf(bar('4/4', after))));

  test('the hand stays in the grid', () => {
    expect(typed('ArrowUp ArrowUp ArrowUp ArrowUp ArrowLeft').spot).toEqual({ slot: 0, string: 1 });
    expect(typed('End ArrowRight ArrowDown ArrowDown ArrowDown').spot).toEqual({
      slot: 7,
      string: 5,
    });
  });

  test.each(['Tab', 'Enter', 'Escape', 'q', '^c', '^v'])('%s is left to the browser', (key) =>
    expect(
      actOfKey({
        key: key.replace('^', ''),
        ctrlKey: key.startsWith('^'),
        metaKey: false,
        altKey: false,
        shiftKey: false,
      }),
    ).toBeUndefined(),
  );
});

describe('what keeps a draft from being put forward', () => {
  test.each([
    [
      'nothing was changed',
      '^z',
      ['This is still the plain measure. Change something to make it a variant.'],
    ],
    [
      'it is too long',
      '+',
      ['The measure is 1 slot too long. Shorten the last stroke or take one away.'],
    ],
    [
      'a thumb where the hand goes down',
      't',
      [
        'Stroke 1 is a thumb on slot 1, where the hand goes down. Put the thumb one slot later, or strike here.',
      ],
    ],
  ])('%s', (_, keys, words) =>
    expect(obstaclesOf(typed(keys), PLAIN, [])).toEqual(expect.arrayContaining(words)),
  );

  test('somebody has put the same forward', () => {
    const draft = typed('2');
    expect(obstaclesOf(draft, PLAIN, [])).toEqual([]);
    expect(obstaclesOf(draft, PLAIN, [draft.measure])).toEqual([
      'Somebody has already put this one forward. Approve theirs, or change something.',
    ]);
  });
});
