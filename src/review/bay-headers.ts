// The headers of the bay's pages: nothing from elsewhere, no script but our own file, no frames, nothing kept. app.ts sets them on
// everything below /bay. Source: OWASP ASVS 5.0.0, 3.4.1 to 3.4.8, 14.3.2
import { secureHeaders } from 'hono/secure-headers';

export const bayHeaders = (secure: boolean) =>
  secureHeaders({
    contentSecurityPolicy: {
      defaultSrc: ["'none'"],
      scriptSrc: ["'self'"],
      styleSrc: ["'self'"],
      imgSrc: ["'self'"],
      formAction: ["'self'"],
      baseUri: ["'none'"],
      frameAncestors: ["'none'"],
      requireTrustedTypesFor: ["'script'"],
      trustedTypes: ["'none'"],
    },
    xFrameOptions: 'DENY',
    referrerPolicy: 'no-referrer',
    crossOriginOpenerPolicy: 'same-origin',
    crossOriginResourcePolicy: 'same-origin',
    strictTransportSecurity: secure ? 'max-age=31536000; includeSubDomains' : false,
  });
