// Every error that leaves the program: problem+json (RFC 9457) with our code and the request's id, and never a detail that was
// not written for the outside. app.ts calls it.
import { Problem, type ProblemCode, problemStatus } from '../vocabulary/problems.ts';

const titles: Record<ProblemCode, string> = {
  invalid: 'The request cannot be read',
  unauthorised: 'Sign-in is needed',
  forbidden: 'Not allowed',
  'not-found': 'There is nothing here',
  conflict: 'This does not fit with what is stored',
  'too-large': 'The request is too large',
  'wrong-type': 'This kind of content is not taken',
  'wrong-shape': 'The content has the wrong shape',
  busy: 'Too much at once',
  internal: 'Something went wrong on our side',
  unavailable: 'Not possible just now',
};

/** Seconds after which trying again makes sense, where nobody knows better. */
const usualRetrySeconds = 2;

/** An error as its status and body; what we do not know is `internal` and says nothing more. */
export function problemResponse(error: unknown, requestId: string): Response {
  const { code, detail } = outside(error);
  const status = problemStatus[code];
  const retry = status === 503 || status === 429;
  const retryAfter = (error instanceof Problem ? error.retryAfterSeconds : null) ?? usualRetrySeconds;
  return Response.json(
    { type: 'about:blank', title: titles[code], status, code, ...(detail === null ? {} : { detail }), requestId },
    {
      status,
      headers: {
        'Content-Type': 'application/problem+json',
        'Cache-Control': 'no-store',
        ...(retry ? { 'Retry-After': String(retryAfter) } : {}),
      },
    },
  );
}

function outside(error: unknown): { code: ProblemCode; detail: string | null } {
  if (error instanceof Problem) return { code: error.code, detail: error.message };
  // hono's own refusals (cross-site forms, for one) carry a status and nothing that we need to pass on.
  const status = error instanceof Error && 'status' in error ? error.status : null;
  const code = (Object.keys(problemStatus) as ProblemCode[]).find((candidate) => problemStatus[candidate] === status);
  if (code !== undefined && code !== 'internal') return { code, detail: null };
  return { code: 'internal', detail: null };
}

/** Whether it is our mistake, to be logged as such. */
export function isOurMistake(error: unknown): boolean {
  return outside(error).code === 'internal';
}
