/**
 * Outputs kept in reserve: alerts go there only when an alarm has stood unacknowledged for a minute, from then on
 * until every alarm has been seen to. In: the core after each advance; out: who is held back.
 */
import { isUnanswered } from "../alerts/life-cycle.ts";
import type { Core } from "../core.ts";
import type { Outlet } from "./outlet.ts";
import { sendPresent } from "./sender.ts";

export interface Reserve {
  isHeldBack(outlet: Outlet): boolean;
  take(core: Core): void;
}

/** @param outlets looked into each time: ports are opened one after another */
export function createReserve(outlets: readonly Outlet[]): Reserve {
  let calledOn = false;
  return {
    isHeldBack: ({ settings }) => settings.backup && !calledOn,
    take(core) {
      const alarms = Object.values(core.alerts.active).filter((alert) => alert.priority === "alarm");
      const isOpen = alarms.some(({ status }) => status === "unacknowledged" || status === "silenced");
      const before = calledOn;
      calledOn = isOpen && (calledOn || alarms.some((alert) => isUnanswered(alert, core.atMs)));
      if (!calledOn || before) return;
      for (const outlet of outlets) if (outlet.settings.backup) sendPresent(core, outlet);
    },
  };
}
