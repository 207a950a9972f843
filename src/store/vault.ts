// Encryption at rest: what people wrote is sealed with AES-GCM under a key of its own, and those keys are sealed by the
// master key (CROSSCOUNT_KEY). Destroying a small key makes every copy of its text unreadable, also copies that a database
// keeps for days. The SQL store calls it; WebCrypto alone, so it runs on both runtimes.
import { fromBase64, toBase64 } from '../vocabulary/base64.ts';
import { Problem } from '../vocabulary/problems.ts';

type Bytes = Uint8Array<ArrayBuffer>;

/** A key for one writer's or one conversation's words: usable, and as it is stored. */
export interface BodyKey {
  readonly key: CryptoKey;
  readonly sealed: string;
}

export interface Vault {
  makeKey(): Promise<BodyKey>;
  /** @throws Problem `unavailable` when the master key is not the one that sealed it */
  openKey(sealed: string): Promise<CryptoKey>;
  /** Keyed hash that stands for a name or id, so that the database holds neither [43 characters of base64url]. */
  pseudonym(...parts: readonly string[]): Promise<string>;
}

/** Length of the master key [bytes]. */
export const masterKeyBytes = 32;
/** Longest sealed text that is stored [characters]; D1 refuses rows of 2,000,000 bytes. */
const sealedLimit = 1_900_000;

/** Keys kept open at once; a post needs two. */
const openedKeysLimit = 1000;

const initialVectorBytes = 12;
const plainFormat = 1;
const deflatedFormat = 2;
/** Below this length deflating costs more than it saves [bytes]. */
const deflateFrom = 2048;

/** @throws Problem `invalid` when the master key is not 32 bytes long */
export async function openVault(masterKey: Bytes): Promise<Vault> {
  if (masterKey.byteLength !== masterKeyBytes)
    throw new Problem('invalid', `the master key must be ${masterKeyBytes} bytes long`);
  const material = await crypto.subtle.importKey('raw', masterKey, 'HKDF', false, ['deriveKey']);
  const parameters = (purpose: string) => ({
    name: 'HKDF',
    hash: 'SHA-256',
    salt: new Uint8Array(0),
    info: encode(`crosscount ${purpose}`),
  });
  const sealing = await crypto.subtle.deriveKey(
    parameters('body keys'),
    material,
    { name: 'AES-GCM', length: 256 },
    false,
    ['encrypt', 'decrypt'],
  );
  const naming = await crypto.subtle.deriveKey(
    parameters('pseudonyms'),
    material,
    { name: 'HMAC', hash: 'SHA-256', length: 256 },
    false,
    ['sign'],
  );
  // Opened keys by their sealed form, which must still stand in the database to be found here: an erased one never is.
  const opened = new Map<string, CryptoKey>();
  const remember = (sealed: string, key: CryptoKey): CryptoKey => {
    const oldest = opened.keys().next();
    if (opened.size >= openedKeysLimit && !oldest.done) opened.delete(oldest.value);
    opened.set(sealed, key);
    return key;
  };
  return {
    async makeKey() {
      const raw = crypto.getRandomValues(new Uint8Array(32));
      const sealed = toBase64(await encrypt(sealing, raw, 'body key'));
      return { key: remember(sealed, await importBodyKey(raw)), sealed };
    },
    async openKey(sealed) {
      const known = opened.get(sealed);
      if (known) return known;
      try {
        return remember(sealed, await importBodyKey(await decrypt(sealing, fromBase64(sealed), 'body key')));
      } catch (error) {
        throw new Problem('unavailable', 'stored words cannot be opened with the present key', { cause: error });
      }
    },
    async pseudonym(...parts) {
      // The lengths keep ('ab', 'c') and ('a', 'bc') apart.
      const text = parts.map((part) => `${part.length}:${part}`).join('');
      const hash = new Uint8Array(await crypto.subtle.sign('HMAC', naming, encode(text)));
      return toBase64(hash).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
    },
  };
}

/**
 * Seals text under a body key.
 *
 * @param context what the text is and where it stands; opening needs the same, so a sealed text cannot be moved elsewhere
 * @throws Problem `too-large` when the result would not fit in a row
 */
export async function seal(key: CryptoKey, text: string, context: string): Promise<string> {
  const plain = encode(text);
  const deflates = plain.byteLength >= deflateFrom;
  const body = deflates ? await pipe(plain, new CompressionStream('deflate-raw')) : plain;
  const format = deflates ? deflatedFormat : plainFormat;
  const sealed = toBase64(concat(new Uint8Array([format]), await encrypt(key, body, `${format} ${context}`)));
  if (sealed.length > sealedLimit) throw new Problem('too-large', 'the text is too large to be stored');
  return sealed;
}

/** Opens what `seal` made. @throws Problem `unavailable` when key, context or text do not belong together */
export async function unseal(key: CryptoKey, sealed: string, context: string): Promise<string> {
  try {
    const bytes = fromBase64(sealed);
    const format = bytes[0];
    const body = await decrypt(key, bytes.subarray(1), `${format} ${context}`);
    const plain = format === deflatedFormat ? await pipe(body, new DecompressionStream('deflate-raw')) : body;
    return new TextDecoder().decode(plain);
  } catch (error) {
    throw new Problem('unavailable', 'stored words cannot be opened', { cause: error });
  }
}

function importBodyKey(raw: Bytes): Promise<CryptoKey> {
  return crypto.subtle.importKey('raw', raw, 'AES-GCM', false, ['encrypt', 'decrypt']);
}

async function encrypt(key: CryptoKey, plain: Bytes, context: string): Promise<Bytes> {
  const iv = crypto.getRandomValues(new Uint8Array(initialVectorBytes));
  const sealed = await crypto.subtle.encrypt({ name: 'AES-GCM', iv, additionalData: encode(context) }, key, plain);
  return concat(iv, new Uint8Array(sealed));
}

async function decrypt(key: CryptoKey, bytes: Bytes, context: string): Promise<Bytes> {
  const iv = bytes.slice(0, initialVectorBytes);
  const body = bytes.slice(initialVectorBytes);
  return new Uint8Array(
    await crypto.subtle.decrypt({ name: 'AES-GCM', iv, additionalData: encode(context) }, key, body),
  );
}

async function pipe(bytes: Bytes, through: CompressionStream | DecompressionStream): Promise<Bytes> {
  const stream = new Blob([bytes]).stream().pipeThrough(through as ReadableWritablePair<Uint8Array, Uint8Array>);
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/** Lone surrogates become U+FFFD here, on both runtimes alike. */
function encode(text: string): Bytes {
  return new TextEncoder().encode(text) as Bytes;
}

function concat(first: Bytes, second: Bytes): Bytes {
  const both = new Uint8Array(first.byteLength + second.byteLength);
  both.set(first);
  both.set(second, first.byteLength);
  return both;
}
