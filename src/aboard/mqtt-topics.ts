/** What an MQTT broker is told: the core's last second as topics. In: the core; out: text by topic, absent is "". */
import { inOrder } from "../alerts/sentences.ts";
import { ALERTS } from "../alerts/table.ts";
import type { Core } from "../core.ts";
import { toKn } from "../units/speed.ts";
import { formatInstant } from "../units/time.ts";
import { calloutOf } from "./callout.ts";

/** Of the topics below `rodeward/<boat>/`: `alerts/…`, `sounding` and `phase` are told at once, the rest now and then. */
export function isUrgent(topic: string): boolean {
  return topic.startsWith("alerts/") || topic === "sounding" || topic === "phase";
}

/** A boat's name as one level of a topic: small letters, digits and dashes. */
export function topicName(boat: string): string {
  const plain = boat.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  return plain.replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "") || "boat";
}

/**
 * Every topic with its payload. Figures are bare numbers, their units in the topic; an empty payload takes a
 * retained figure away, so that what is not known is not there.
 */
export function topicsOf(core: Core): Map<string, string> {
  const { picture, figures, stay } = core.last;
  const { circle, scope } = figures;
  const mean = picture.wind === undefined ? undefined : picture.windMean;
  return new Map([
    ["phase", stay.phase],
    ["callout", calloutOf(core)],
    ["sounding", soundingOf(core)],
    [
      "position",
      json(picture.position?.value, ({ latDeg, lonDeg }) => ({
        lat: fixed(latDeg, 6),
        lon: fixed(lonDeg, 6),
      })),
    ],
    [
      "anchor",
      json(stay.anchor?.position, ({ latDeg, lonDeg }) => ({ lat: fixed(latDeg, 6), lon: fixed(lonDeg, 6) })),
    ],
    ["depth/surface_m", figure(picture.depth?.value.surfaceM, 1)],
    ["depth/under_keel_m", figure(picture.depth?.value.underKeelM, 1)],
    ["wind/from_deg", figure(picture.wind?.value.fromDeg, 0)],
    ["wind/mean_kn", figure(mean === undefined ? undefined : toKn(mean.speedMps), 1)],
    ["wind/gust_kn", figure(mean === undefined ? undefined : toKn(mean.gustMps), 1)],
    ["rode/out_m", figure(stay.rode?.lengthM, 1)],
    ["rode/required_m", figure(scope.requiredM, 1)],
    ["scope/now", figure(scope.now, 1)],
    ["scope/target", figure(scope.target, 1)],
    ["range_m", figure(circle?.rangeM, 0)],
    ["circle_m", figure(circle?.radiusM, 0)],
    ["supply_v", figure(picture.supplyV?.value, 1)],
    ...alertTopics(core),
  ]);
}

/** The highest priority that is unacknowledged: enough for a buzzer ashore. */
function soundingOf(core: Core): string {
  return inOrder(core.alerts).find((alert) => alert.status === "unacknowledged")?.priority ?? "none";
}

function alertTopics(core: Core): [string, string][] {
  const offsetMs = core.last.picture.utcOffsetMs ?? 0;
  return ALERTS.map(({ key, alfId, title }) => {
    const alert = core.alerts.active[key];
    if (alert === undefined) return [`alerts/${key}`, ""];
    const { priority, status, text, raisedMs } = alert;
    const since = formatInstant(Math.floor(raisedMs + offsetMs));
    return [`alerts/${key}`, JSON.stringify({ id: alfId, priority, state: status, title, text, since })];
  });
}

function fixed(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}

function figure(value: number | undefined, decimals: number): string {
  return value === undefined ? "" : String(fixed(value, decimals));
}

function json<T>(value: T | undefined, shaped: (value: T) => object): string {
  return value === undefined ? "" : JSON.stringify(shaped(value));
}
