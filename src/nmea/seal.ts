/** Closing a sentence: its checksum, and the TAG block in front. IEC 61162-1 frame; TAG as in NMEA 4.x. */

/** XOR of all characters, as two upper-case hex digits. */
export function checksumOf(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return (sum & 0xff).toString(16).toUpperCase().padStart(2, "0");
}

/** `IIHDT,214.6,T` → `$IIHDT,214.6,T*26`, without line end. */
export function seal(body: string): string {
  return `$${body}*${checksumOf(body)}`;
}

/** `\c:<unix ms>,s:<source>*hh\`: goes directly in front of a sentence. */
export function tagBlock(atMs: number, source: string): string {
  const body = `c:${Math.round(atMs)},s:${source}`;
  return `\\${body}*${checksumOf(body)}\\`;
}
