// Stands in for what bolt brings along for Node alone (its own web server, sockets, their network library) in the bundle for the
// Workers runtime, where nothing of it is called. wrangler.toml names it.

/** Anything that would be made of those libraries. */
class Absent {
  constructor() {
    throw new Error('not on this runtime');
  }
}

export { Absent as Agent, Absent as ProxyAgent, Absent as SocketModeClient, Absent as WebSocket };

function absent(): never {
  throw new Error('not on this runtime');
}

export { absent as fetch };
export default absent;
