// Failures that the outside may see: a code and one safe sentence. Details go to the log, never into a Problem.

export const problemStatus = {
  invalid: 400,
  unauthorised: 401,
  forbidden: 403,
  'not-found': 404,
  conflict: 409,
  'too-large': 413,
  'wrong-type': 415,
  'wrong-shape': 422,
  busy: 429,
  internal: 500,
  unavailable: 503,
} as const;
export type ProblemCode = keyof typeof problemStatus;

/** Thrown where the outside refused or was refused; the front door turns it into problem+json (RFC 9457). */
export class Problem extends Error {
  readonly code: ProblemCode;
  /** Seconds after which trying again makes sense, where that is known. */
  readonly retryAfterSeconds: number | null;
  constructor(code: ProblemCode, says: string, options: ErrorOptions & { readonly retryAfterSeconds?: number } = {}) {
    super(says, options);
    this.name = 'Problem';
    this.code = code;
    this.retryAfterSeconds = options.retryAfterSeconds ?? null;
  }
}
