import * as v from 'valibot';
import { code, newLink } from './act';
import { keeping } from './keeping';
import { play } from './play';
import { refusal } from './refusal';
import { tellTime } from './time';
import { welcome } from './welcome';

/** Every word that the server may say. */
export const down = v.variant('kind', [welcome, tellTime, refusal, newLink, code, keeping, play]);
export type Down = v.InferOutput<typeof down>;
