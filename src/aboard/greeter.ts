/**
 * Whoever newly listens hears at once what is active: a port that has come up, a display that has connected, and
 * all of them once a resumed watch has begun. Looked for a few times a second; sends to the whole port.
 */
import type { Core } from "../core.ts";
import { isServer } from "../ports/port.ts";
import type { Outlet } from "./outlet.ts";
import { sendPresent } from "./sender.ts";

export interface Greeter {
  look(): void;
  /** The port has come up anew: its peer has missed what went out meanwhile. */
  cameUp(name: string): void;
}

/** @param isHeldBack kept in reserve for now, so not to be told */
export function createGreeter(
  outlets: readonly Outlet[],
  core: () => Core | undefined,
  isHeldBack: (outlet: Outlet) => boolean,
): Greeter {
  const greeted = new Map<string, number>();
  return {
    look() {
      const present = core();
      if (present === undefined) return;
      for (const outlet of outlets) {
        const { name } = outlet.settings;
        const listeners = listenersOf(outlet);
        const isNew = listeners > (greeted.get(name) ?? 0);
        if (isNew && !isHeldBack(outlet)) sendPresent(present, outlet);
        greeted.set(name, listeners);
      }
    },
    cameUp: (name) => void greeted.delete(name),
  };
}

/**
 * Of a server, all that have ever connected: one that goes and comes between two looks is new all the same. Else
 * one while it is up.
 */
function listenersOf({ settings, port }: Outlet): number {
  const { state, joined } = port.stats();
  if (state !== "up") return 0;
  return isServer(settings) ? joined : 1;
}
