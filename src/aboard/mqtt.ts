/**
 * Telling an MQTT broker, where one is configured, so that a home server or a fleet can watch. In: each advance
 * of the core; out: retained topics below `rodeward/<boat>/`, and `status` with a last will. Nothing is taken in:
 * no topic is subscribed to. While there is no connection nothing is queued; after it, everything is told anew.
 */
import { readFileSync } from "node:fs";
import type { IClientOptions, MqttClient } from "mqtt";
import type { Config } from "../config/schema.ts";
import type { Advance, Core } from "../core.ts";
import { messageOf } from "../ports/port-report.ts";
import { isUrgent, topicName, topicsOf } from "./mqtt-topics.ts";

export interface Mqtt {
  take(advanced: Pick<Advance, "core" | "changes" | "seconds">): void;
  close(): Promise<void>;
}

interface MqttParts {
  config: Pick<Config, "mqtt" | "boat">;
  /** The broker is there, or not and why. */
  state(up: boolean, why: string): void;
}

const RETRY_MS = 5_000;
const ANSWER_MS = 10_000;
const KEEP_ALIVE_S = 30;
/** Figures that only drift are told no more often. */
const FIGURES_MS = 10_000;
const CLOSE_MS = 500;

const UNUSED: Mqtt = { take: () => {}, close: () => Promise.resolve() };

/** Never rejects for a broker that is not there: that is said by `state`, and tried again. */
export async function openMqtt({ config, state }: MqttParts): Promise<Mqtt> {
  const { broker } = config.mqtt;
  if (broker === undefined) return UNUSED;
  const below = `rodeward/${config.mqtt.name ?? topicName(config.boat.name)}`;
  // Loaded only here: most boats have no broker, and it takes time at start.
  const { connect } = await import("mqtt");
  const client = connect(broker, optionsOf(config, `${below}/status`));
  const told = new Map<string, string>();
  let last: Core | undefined;
  let figuresMs = 0;

  const publish = (topic: string, text: string): void => {
    if (client.connected) client.publish(`${below}/${topic}`, text, { retain: true, qos: 0 });
  };
  const tell = (core: Core, all: boolean): void => {
    for (const [topic, text] of topicsOf(core)) {
      if (told.get(topic) === text || !(all || isUrgent(topic))) continue;
      told.set(topic, text);
      publish(topic, text);
    }
  };
  watchLink(client, broker, state, () => {
    told.clear();
    publish("status", "online");
    if (last !== undefined) tell(last, true);
  });
  return {
    take({ core, changes, seconds }) {
      last = core;
      if (!client.connected || changes.length + seconds.length === 0) return;
      const due = core.atMs - figuresMs >= FIGURES_MS;
      if (due) figuresMs = core.atMs;
      tell(core, due);
    },
    close: () => farewell(client, `${below}/status`),
  };
}

function optionsOf({ mqtt }: Pick<Config, "mqtt">, statusTopic: string): IClientOptions {
  const password = mqtt.password_file === undefined ? undefined : secretIn(mqtt.password_file);
  return {
    reconnectPeriod: RETRY_MS,
    connectTimeout: ANSWER_MS,
    keepalive: KEEP_ALIVE_S,
    clean: true,
    resubscribe: false,
    queueQoSZero: false,
    will: { topic: statusTopic, payload: Buffer.from("offline"), qos: 1, retain: true },
    ...(mqtt.username === undefined ? {} : { username: mqtt.username }),
    ...(password === undefined ? {} : { password }),
  };
}

/** Without it the broker will refuse us, and that is said. */
function secretIn(file: string): string | undefined {
  try {
    return readFileSync(file, "utf8").trim();
  } catch {
    return undefined;
  }
}

/** Tells each change of the link once. */
function watchLink(
  client: MqttClient,
  broker: string,
  state: MqttParts["state"],
  connected: () => void,
): void {
  const where = broker.replace(/\/\/[^@/]*@/, "//");
  let isUp: boolean | undefined;
  let why = "no answer";
  const down = (): void => {
    if (isUp !== false) state(false, `${where}: ${why}`);
    isUp = false;
  };
  client.on("connect", () => {
    isUp = true;
    state(true, `connected to ${where}`);
    connected();
  });
  client.on("error", (error) => {
    why = messageOf(error);
    down();
  });
  client.on("close", down);
}

/** Says "offline" itself: the last will is only for a connection that breaks. */
function farewell(client: MqttClient, statusTopic: string): Promise<void> {
  return new Promise((resolve) => {
    const limit = setTimeout(() => {
      client.end(true);
      resolve();
    }, CLOSE_MS);
    const end = (): void => {
      client.end(false, {}, () => {
        clearTimeout(limit);
        resolve();
      });
    };
    if (client.connected) client.publish(statusTopic, "offline", { retain: true, qos: 0 }, end);
    else
      client.end(true, {}, () => {
        clearTimeout(limit);
        resolve();
      });
  });
}
