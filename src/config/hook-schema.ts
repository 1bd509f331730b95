/** `[[hook]]`: a program to run when an alert begins, changes or ends. */
import { z } from "zod";
import type { Advance } from "../core.ts";
import { quantity, said } from "./value.ts";
import { shown } from "./wording.ts";

type Alert = Advance["changes"][number];

/** Every priority and every alert, by name; the compiler sees to it that none is missing. */
const KNOWN: Readonly<Record<Alert["priority"] | Alert["key"], true>> = {
  alarm: true,
  warning: true,
  caution: true,
  dragging: true,
  "outside-circle": true,
  "scope-short": true,
  "rode-short": true,
  "rode-spent": true,
  shoal: true,
  "shoal-coming": true,
  "wind-over": true,
  "wind-shift": true,
  "position-lost": true,
  "position-doubtful": true,
  "depth-lost": true,
  "wind-lost": true,
  "heading-lost": true,
  "not-brought-up": true,
  "log-failing": true,
  "port-down": true,
  "clock-stepped": true,
  "supply-low": true,
  "not-watching": true,
  unheard: true,
  "rode-runs-out": true,
};
type OnName = keyof typeof KNOWN;

const NAMES = Object.keys(KNOWN) as [OnName, ...OnName[]];

const on = z.enum(NAMES, {
  error: ({ input }) => `${shown(input)} is no priority and no alert; there are: ${NAMES.join(", ")}`,
});

export const hook = z
  .strictObject({
    on: z
      .array(on)
      .min(1, "is empty; name priorities or alerts")
      .meta(said('priorities or alerts it is for: "alarm", "warning", "caution", or a key', ["alarm"])),
    run: z
      .array(z.string().min(1))
      .min(1, "is empty; name the program and what it is given")
      .meta(said("the program and its arguments; no shell", ["/usr/local/bin/buzzer", "on"])),
    repeat_every: quantity(
      "duration",
      "again, as long as one is unacknowledged; unset: once",
      "30 s",
      1,
    ).optional(),
    limit: quantity("duration", "a run that takes longer is ended", "10 s", 0.1).prefault("10 s"),
    backup: z
      .boolean()
      .default(false)
      .meta(said("only for what has stood unacknowledged for a minute", false)),
  })
  .meta({ description: "a program run when an alert begins, changes or ends" });

export type HookConfig = z.output<typeof hook>;
