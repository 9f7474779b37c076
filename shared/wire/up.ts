import * as v from 'valibot';
import { askTime } from './time';

/** Every word that a browser may say. */
export const up = v.variant('kind', [askTime]);
export type Up = v.InferOutput<typeof up>;
