// The address that a request came from, as far as it can be trusted, for limits. The front doors call it.

/**
 * @param peer    the other end of the connection
 * @param proxies how many proxies of our own stand before us, each of which adds the address it saw to X-Forwarded-For; what
 *                stands before their entries was written by the caller and counts for nothing
 * @returns the address; of IPv6 its network of 64 bits, since a caller may use all of that
 */
export function clientAddress(headers: Headers, peer: string | undefined, proxies: number): string | undefined {
  const forwarded = (headers.get('x-forwarded-for') ?? '').slice(-1000).split(',');
  const told = proxies > 0 ? forwarded.at(-proxies)?.trim() : undefined;
  const address = (told || peer)?.slice(0, 60).toLowerCase();
  if (address === undefined || !address.includes(':')) return address;
  const mapped = /^::ffff:(\d{1,3}(?:\.\d{1,3}){3})$/.exec(address)?.[1];
  return mapped ?? networkOf(address);
}

function networkOf(address: string): string {
  const [before = '', after] = address.split('%')[0]!.split('::');
  const head = before === '' ? [] : before.split(':');
  const tail = after === undefined || after === '' ? [] : after.split(':');
  const zeros = after === undefined ? [] : new Array<string>(Math.max(0, 8 - head.length - tail.length)).fill('0');
  return [...head, ...zeros, ...tail]
    .slice(0, 4)
    .map((group) => group.replace(/^0{1,3}(?=.)/, ''))
    .join(':');
}
