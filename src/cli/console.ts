/** Where a command writes: results to `out`, all else to `err`, a line at a time. */
export interface Console {
  out(text: string): void;
  err(text: string): void;
}
