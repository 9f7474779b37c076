/** Answer to bad input: what is wrong and where, in words for the person who sent it. */
export interface ApiProblem {
  readonly error: { readonly message: string; readonly where?: Readonly<Record<string, unknown>> };
}
