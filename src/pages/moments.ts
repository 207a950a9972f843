// Moments and spans of time as the pages write them. Always UTC; the chat's script turns them into the reader's own zone.

/** `2026-11-25 13:40 UTC` */
export function writeMoment(ms: number): string {
  return `${isoMoment(ms).slice(0, 16).replace('T', ' ')} UTC`;
}

/** For the `datetime` of a `<time>`. */
export function isoMoment(ms: number): string {
  // Beyond what a date can hold, the nearest that it can.
  return new Date(Math.max(-8.64e15, Math.min(8.64e15, ms))).toISOString();
}

/** How long something has waited: `4 min`, `3 h 20 min`, `2 d 5 h`. Never negative: clocks of two machines differ. */
export function writeWait(ms: number): string {
  const minutes = Math.max(0, Math.floor(ms / 60_000));
  if (minutes < 1) return 'under a minute';
  if (minutes < 60) return `${minutes} min`;
  const hours = Math.floor(minutes / 60);
  if (hours < 24) return minutes % 60 === 0 ? `${hours} h` : `${hours} h ${minutes % 60} min`;
  const days = Math.floor(hours / 24);
  return hours % 24 === 0 ? `${days} d` : `${days} d ${hours % 24} h`;
}
