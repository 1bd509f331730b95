/** One line as an edge hands it over: its text (latin1, without line end), where from, and when. */
export interface Line {
  text: string;
  port: string;
  atMs: number;
}
