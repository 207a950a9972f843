// The little that issuer.test.ts uses of the provider library, which comes without types.
declare module 'oidc-provider' {
  import type { IncomingMessage, ServerResponse } from 'node:http';

  export default class Provider {
    constructor(
      issuer: string,
      configuration: Readonly<Record<string, unknown>> & {
        readonly findAccount: (context: unknown, id: string) => unknown;
      },
    );
    callback(): (request: IncomingMessage, response: ServerResponse) => Promise<void>;
  }
}
