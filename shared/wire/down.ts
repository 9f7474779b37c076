import * as v from 'valibot';
import { refusal } from './refusal';
import { tellTime } from './time';
import { welcome } from './welcome';

/** Every word that the server may say. */
export const down = v.variant('kind', [welcome, tellTime, refusal]);
export type Down = v.InferOutput<typeof down>;
