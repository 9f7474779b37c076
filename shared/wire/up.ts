import * as v from 'valibot';
import { askCode, letBack, removePerson, renewLink, takeOutMine } from './act';
import { askTime } from './time';

/** Every word that a browser may say. */
export const up = v.variant('kind', [
  askTime,
  removePerson,
  letBack,
  renewLink,
  askCode,
  takeOutMine,
]);
export type Up = v.InferOutput<typeof up>;
