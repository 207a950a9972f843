// The description of the HTTP API (OpenAPI 3.1), made from the same schemas that check what goes in and out. api.ts serves it.
import { z } from 'zod';
import { answerDocument } from '../../vocabulary/answer-document.ts';
import { problemStatus } from '../../vocabulary/problems.ts';
import { programVersion } from '../../vocabulary/version.ts';

const problem = z.object({
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  code: z.enum(Object.keys(problemStatus) as [keyof typeof problemStatus]),
  detail: z.string().optional(),
  requestId: z.string(),
});

const schemaOf = (schema: z.ZodType) => {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { target: 'draft-2020-12', io: 'input' });
  return rest;
};

/** @param others paths that other channels describe themselves */
export function openApi(answerRequest: z.ZodType, others: Readonly<Record<string, unknown>> = {}) {
  const problems = (codes: ReadonlyArray<keyof typeof problemStatus>) =>
    Object.fromEntries(
      codes.map((code) => [
        String(problemStatus[code]),
        {
          description: `Problem with code ${code}`,
          content: { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } },
        },
      ]),
    );
  return {
    openapi: '3.1.0',
    info: {
      title: 'crosscount',
      version: programVersion,
      description:
        "Answers car owners' questions about mixture and oxygen sensors, with the reasons for every cause named.",
    },
    paths: {
      ...others,
      '/api/answers': {
        post: {
          operationId: 'answerPost',
          summary: 'One post in, one answer document out',
          description:
            'With `conversation` and `id` a call can be repeated safely: the stored answer comes back, and nothing is answered twice. ' +
            'Where the program can be reached from other machines, the answer to the first post of a conversation carries the header ' +
            'Conversation-Token; later posts need it, or the API key, as Authorization: Bearer. Posts without a conversation need nothing. ' +
            'After a 503 the post may be stored already; repeat the call with the same id.',
          requestBody: {
            required: true,
            content: { 'application/json': { schema: { $ref: '#/components/schemas/AnswerRequest' } } },
          },
          responses: {
            '200': {
              description: 'The answer document',
              content: { 'application/json': { schema: { $ref: '#/components/schemas/AnswerDocument' } } },
            },
            ...problems(['invalid', 'unauthorised', 'conflict', 'too-large', 'busy', 'internal', 'unavailable']),
          },
        },
      },
    },
    components: {
      schemas: {
        AnswerRequest: schemaOf(answerRequest),
        AnswerDocument: schemaOf(answerDocument),
        Problem: schemaOf(problem),
      },
    },
  };
}
