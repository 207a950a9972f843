// A visitor of the pages without a browser: keeps cookies, sends forms as a browser does, and reads what forms a page has.
import { Hono } from 'hono';

export const origin = 'http://pages.test';

export interface Visitor {
  readonly cookies: Map<string, string>;
  readonly get: (
    path: string,
    headers?: Record<string, string>,
  ) => Promise<{ status: number; text: string; headers: Headers }>;
  /** Sends a form; redirects are not followed. */
  readonly post: (
    path: string,
    fields: Record<string, string | File>,
    headers?: Record<string, string>,
  ) => Promise<{ status: number; text: string; headers: Headers }>;
}

export function aVisitor(pages: Hono): Visitor {
  const cookies = new Map<string, string>();
  const send = async (path: string, init: RequestInit) => {
    const headers = new Headers(init.headers);
    if (cookies.size > 0) headers.set('Cookie', [...cookies].map(([name, value]) => `${name}=${value}`).join('; '));
    const response = await pages.fetch(new Request(`${origin}${path}`, { ...init, headers }));
    for (const cookie of response.headers.getSetCookie()) {
      const [name, value] = cookie.split(';')[0]!.split('=') as [string, string];
      if (value === '' || /Max-Age=0/i.test(cookie)) cookies.delete(name);
      else cookies.set(name, value);
    }
    return { status: response.status, text: await response.text(), headers: response.headers };
  };
  return {
    cookies,
    get: (path, headers = {}) => send(path, { headers }),
    post: (path, fields, headers = {}) =>
      send(path, { method: 'POST', body: bodyOf(fields), headers: { Origin: origin, ...headers } }),
  };
}

/** As a browser writes it: multipart when a file goes along. */
function bodyOf(fields: Record<string, string | File>): FormData | URLSearchParams {
  const body = new FormData();
  const plain = new URLSearchParams();
  for (const [name, value] of Object.entries(fields)) {
    body.set(name, value);
    if (typeof value === 'string') plain.set(name, value);
  }
  return Object.values(fields).some((value) => typeof value !== 'string') ? body : plain;
}

/** A sub-app mounted as app.ts mounts it. */
export function mounted<Deps>(path: string, page: (deps: Deps) => Hono, deps: Deps): Hono {
  return new Hono().route(path, page(deps));
}

/** Values of the hidden fields of the first form with this action. */
export function hiddenFields(html: string, action: string): Record<string, string> {
  const form = html.split('<form').find((part) => part.includes(`action="${action}"`)) ?? '';
  const fields: Record<string, string> = {};
  for (const [input] of form.split('</form>')[0]!.matchAll(/<input[^>]{0,400}type="hidden"[^>]{0,400}>/g))
    fields[/name="([^"]*)"/.exec(input)![1]!] = /value="([^"]*)"/.exec(input)![1]!;
  return fields;
}
