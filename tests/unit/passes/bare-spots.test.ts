import { describe, expect, test } from 'vitest';
import { contentsByNote } from '../../../lib/passes/bare-spots';
import { bar } from '../../kit/tab';

// Which stroke is which embellishment: common practice, no source.
describe('what a variation does with each melody note', () => {
  test.each([
    ['s3 . b123 t5 | s1 . b123 t5', [0, 960], [[], []]],
    ['s3 h3.2 b123 t5 | s1 . b123 t5', [0, 960], [['hammer-on'], []]],
    ['s3 t5 b123 t5 | s1.2 p1 b123 t5', [0, 960], [['double thumbing'], ['pull-off']]],
    ['s1 t2 s1 t5 | s3.2 l3.4 b123 t5', [0, 480, 960], [['drop thumbing'], [], ['slide']]],
    [
      'r h2.1 b123 t5 | s1 k2 x123 t5',
      [0, 960],
      [['hammer from nowhere'], ['alternate-string pull-off', 'stopped brush']],
    ],
  ])('%s', (text, melody, contents) =>
    expect(contentsByNote(bar('4/4', text), melody)).toEqual(contents),
  );
});
