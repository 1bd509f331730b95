/** Every way in which a request is refused, one row each: status, reason, words. */
import type { FastifyReply } from "fastify";

const REFUSALS = {
  format: { status: 400, error: "the body is not what this asks for" },
  session: { status: 401, error: "this device is not paired: give the PIN first" },
  pin: { status: 401, error: "that is not the PIN" },
  host: { status: 403, error: "the page does not answer to that name: use the address, or localhost" },
  origin: { status: 403, error: "acts are taken from this page itself only" },
  path: { status: 404, error: "there is nothing under that path" },
  unknown: { status: 404, error: "no such alert now" },
  phase: { status: 409, error: "not in this phase of the stay" },
  range: { status: 409, error: "that figure is outside what can be, or there is no fix to mark it by" },
  port: { status: 409, error: "acts are not taken from here" },
  far: { status: 409, error: "that place is too far from the boat" },
  rode: { status: 409, error: "there is not that much rode" },
  refused: { status: 409, error: "the alert does not take that now" },
  tries: { status: 429, error: "too many wrong PINs: wait" },
  internal: { status: 500, error: "something is wrong inside rodeward; its log says what" },
  full: { status: 503, error: "too many pages are open" },
} as const;

export type RefusalReason = keyof typeof REFUSALS;

/** Answers with `{ error, reason }`. `words` take the place of the row's own where they can say more. */
export function refuse(reply: FastifyReply, reason: RefusalReason, words?: string): FastifyReply {
  const { status, error } = REFUSALS[reason];
  return reply
    .code(status)
    .type("application/json; charset=utf-8")
    .send({ error: words ?? error, reason });
}
