// OpenID Connect with a certified client library: authorisation code with PKCE, state and nonce. The front doors open it when its
// settings are there; the bay sees only the interface of bay-deps.ts.
import * as client from 'openid-client';
import { Problem } from '../vocabulary/problems.ts';
import type { Issuer } from './bay-deps.ts';

export interface IssuerSettings {
  readonly address: string;
  readonly clientId: string;
  readonly clientSecret: string;
  /** For issuers on loopback in tests and trials; https is asked for otherwise. */
  readonly allowsHttp: boolean;
}

/** What the issuer says of itself is kept so long [ms], so that a change of its keys or addresses is noticed. */
const discoveryKeptMs = 60 * 60 * 1000;

export function openIssuer(settings: IssuerSettings, clock: () => number): Issuer {
  let known: { readonly at: number; readonly configuration: client.Configuration } | null = null;

  async function configuration(): Promise<client.Configuration> {
    if (known && clock() - known.at < discoveryKeptMs) return known.configuration;
    try {
      const found = await client.discovery(
        new URL(settings.address),
        settings.clientId,
        undefined,
        client.ClientSecretPost(settings.clientSecret),
        settings.allowsHttp ? { execute: [client.allowInsecureRequests] } : {},
      );
      known = { at: clock(), configuration: found };
      return found;
    } catch (error) {
      throw new Problem('unavailable', 'The sign-in service cannot be reached just now.', { cause: error });
    }
  }

  return {
    name: new URL(settings.address).host,

    async begin(callback) {
      const found = await configuration();
      const kept = {
        state: client.randomState(),
        nonce: client.randomNonce(),
        verifier: client.randomPKCECodeVerifier(),
      };
      const address = client.buildAuthorizationUrl(found, {
        redirect_uri: callback,
        scope: 'openid profile',
        state: kept.state,
        nonce: kept.nonce,
        code_challenge: await client.calculatePKCECodeChallenge(kept.verifier),
        code_challenge_method: 'S256',
      });
      return { address: address.href, kept };
    },

    async finish(came, { state, nonce, verifier }) {
      const found = await configuration();
      try {
        const tokens = await client.authorizationCodeGrant(found, new URL(came), {
          expectedState: state,
          expectedNonce: nonce,
          pkceCodeVerifier: verifier,
          idTokenExpected: true,
        });
        const claims = tokens.claims();
        if (!claims) throw new Error('no claims');
        const name = typeof claims.name === 'string' ? claims.name : null;
        return { subject: `${claims.iss} ${claims.sub}`, name };
      } catch (error) {
        throw new Problem('unauthorised', 'The sign-in service did not confirm who you are: try again.', {
          cause: error,
        });
      }
    },
  };
}
