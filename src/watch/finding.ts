/** What the watch finds: plain data that the alerts turn into a life cycle. */

export type AlertKey =
  | "dragging"
  | "outside-circle"
  | "scope-short"
  | "rode-short"
  | "rode-spent"
  | "shoal"
  | "shoal-coming"
  | "wind-over"
  | "wind-shift"
  | "position-lost"
  | "position-doubtful"
  | "depth-lost"
  | "wind-lost"
  | "heading-lost"
  | "not-brought-up"
  | "log-failing"
  | "port-down"
  | "clock-stepped"
  | "supply-low"
  | "not-watching"
  | "unheard"
  | "rode-runs-out";

export type Priority = "alarm" | "warning" | "caution";

export interface Finding {
  key: AlertKey;
  priority: Priority;
  /** What to know or do, for the second text of an ALF: at most 43 characters. */
  text: string;
  /**
   * How far it has gone, where further going must bring an acknowledged one back: metres from the anchor or outside,
   * of depth or of rode that is wanting; m/s of wind over the limit. The alerts' table has the measure of each.
   */
  amount: number | undefined;
}
