import * as v from 'valibot';
import { code, newLink } from './act';
import { refusal } from './refusal';
import { tellTime } from './time';
import { welcome } from './welcome';

/** Every word that the server may say. */
export const down = v.variant('kind', [welcome, tellTime, refusal, newLink, code]);
export type Down = v.InferOutput<typeof down>;
