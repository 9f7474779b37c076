import { sameText } from './links';

const BEARER = 'Bearer ';

/** Why somebody is not the operator: an HTTP status and a sentence. */
export interface NotTheOperator {
  readonly status: number;
  readonly words: string;
}

/**
 * Why what was asked is not done, where it is not the operator who asks.
 * @param token what the operator shows (`BACKUP_TOKEN`); undefined: nobody is the operator
 * @param authorization the request's header as it came
 * @param purpose "to take copies"
 */
export function refusalOf(
  token: string | undefined,
  authorization: string | undefined,
  purpose: string,
): NotTheOperator | undefined {
  if (token === undefined) return { status: 404, words: `Set BACKUP_TOKEN ${purpose}.` };
  const shown = authorization?.startsWith(BEARER) ? authorization.slice(BEARER.length) : '';
  return sameText(shown, token) ? undefined : { status: 401, words: 'Show the BACKUP_TOKEN.' };
}
