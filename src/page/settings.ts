/** Settings for who looks; for who is paired, those that are set in use. */
import type { FastifyInstance } from "fastify";
import { z } from "zod";
import type { Guard } from "./nights.ts";
import type { PageLog, PageUnits } from "./page.ts";
import { type RefusalReason, refuse } from "./refusals.ts";
import type { SettingsState } from "./settings-state.ts";

export type SettingAnswer = { ok: true } | { ok: false; reason: RefusalReason; words: string };

export interface SettingsDeps {
  state(): SettingsState;
  /** For lengths shown, as they are set now. */
  units(): PageUnits;
  set(key: string, value: string): SettingAnswer;
}

/** What a sentence can carry as it stands. */
const settingBody = z.strictObject({
  key: z.string().regex(/^[a-z_.]{3,40}$/),
  value: z.string().regex(/^[\w .:/+-]{1,30}$/),
});

export function addSettings(
  app: FastifyInstance,
  settings: SettingsDeps,
  onlyPaired: Guard,
  log: PageLog,
): void {
  app.get("/api/settings", () => settings.state());
  app.post("/api/settings", { onRequest: onlyPaired }, (request, reply) => {
    const given = settingBody.safeParse(request.body);
    if (!given.success)
      return refuse(reply, "format", 'a setting is { "key": "watch.margin", "value": "15 m" }');
    const { key, value } = given.data;
    const answer = settings.set(key, value);
    log.info({ from: request.ip, key, value, answer }, "setting from the page");
    if (!answer.ok) return refuse(reply, answer.reason, answer.words);
    return reply.send({ ok: true });
  });
}
