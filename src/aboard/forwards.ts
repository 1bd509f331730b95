/** Configuration → what is passed on from port to port, and sending what is passed on. */
import type { PortConfig } from "../config/schema.ts";
import { createForwarding, type Forwarding, type ForwardPlan } from "../ports/forwarding.ts";
import type { RingTold } from "../ports/rings.ts";
import type { Outlet } from "./outlet.ts";

function forwardPlans(ports: readonly PortConfig[]): ForwardPlan[] {
  return ports.flatMap((port) => {
    if (port.kind === "stdin" || port.forward_from.length === 0) return [];
    return [
      {
        to: port.name,
        from: port.forward_from,
        only: port.forward_only,
        not: port.forward_not,
        everyMs: port.decimate === undefined ? undefined : port.decimate * 1000,
      },
    ];
  });
}

/** @param outlets looked into at each sentence: ports are opened one after another */
export function openForwarding(
  ports: readonly PortConfig[],
  outlets: readonly Outlet[],
  ring: RingTold,
): Forwarding {
  return createForwarding({
    plans: forwardPlans(ports),
    checksumOptional: new Set(ports.filter((port) => port.checksum === "optional").map((port) => port.name)),
    ring,
    send: (to, text) => outlets.find((one) => one.settings.name === to)?.port.send(text, false, true),
  });
}

/** The outlet, with every sentence of ours that goes out there noted, so that it is known when it comes back. */
export function noting(outlet: Outlet, sent: (text: string) => void): Outlet {
  const { settings, port } = outlet;
  return {
    settings,
    port: {
      name: port.name,
      kind: port.kind,
      send(text, urgent, passedOn) {
        if (passedOn !== true) sent(text);
        port.send(text, urgent, passedOn);
      },
      stats: () => port.stats(),
      close: () => port.close(),
    },
  };
}
