// The sign-in issuer of the settings, when they name one. node.ts and worker.ts call it.
import type { Issuer } from './bay-deps.ts';
import { openIssuer } from './open-issuer.ts';

export interface IssuerValues {
  readonly OIDC_ISSUER?: string;
  readonly OIDC_CLIENT_ID?: string;
  readonly OIDC_CLIENT_SECRET?: string;
}

export function setUpIssuer(values: IssuerValues, clock: () => number): Issuer | null {
  const { OIDC_ISSUER: address, OIDC_CLIENT_ID: clientId, OIDC_CLIENT_SECRET: clientSecret } = values;
  if (address === undefined || clientId === undefined || clientSecret === undefined) return null;
  // An issuer on this very machine is a trial or a test; anything farther away must be reached under https.
  const allowsHttp = /^http:\/\/(?:127\.0\.0\.1|localhost|\[::1\])(?::|\/|$)/.test(address);
  return openIssuer({ address, clientId, clientSecret, allowsHttp }, clock);
}
