import * as v from 'valibot';

/** Longest address of a link that is drawn, in characters. Source: ours; a code of it is still easy to scan from paper. */
export const MAX_LINK = 300;

/** Roles whose links may stand on paper: never the leader's. */
export const CODE_ROLES = ['join', 'watch'] as const;
export type CodeRole = (typeof CODE_ROLES)[number];

/** Body of `POST /api/boards/:board/link-code`. The link goes in the body, so that no address and no log holds it. */
export const linkCodeRequest = v.object({ link: v.string() });

/** Answer 200: a link as a code to scan, with the address that it holds. */
export const linkCodeAnswer = v.object({
  role: v.picklist(CODE_ROLES),
  address: v.string(),
  /** Modules from edge to edge, with the quiet zone. */
  size: v.number(),
  /** The dark modules as SVG path data. */
  dark: v.pipe(v.string(), v.regex(/^[Mhvz\d\s-]*$/)),
});
export type LinkCode = Readonly<v.InferOutput<typeof linkCodeAnswer>>;
