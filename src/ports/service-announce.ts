/**
 * Announces a server of sentences on the boat's network by multicast DNS (RFC 6762, RFC 6763): on start, when it
 * is asked for, and when it goes. The name of the machine that it gives is one of our own, so that another
 * announcer of this machine is not contradicted. Before a name is used it is asked for, and another one is taken
 * where somebody has it, then or later.
 */
import { createSocket, type RemoteInfo, type Socket } from "node:dgram";
import {
  type DnsRecord,
  decodeMessage,
  encodeMessage,
  isSameName,
  label,
  type Message,
  type Question,
} from "./dns.ts";
import { conflicts, givesWay, isShared, probeFor, renamed } from "./service-names.ts";
import { type Asked, MDNS_HOST, MDNS_PORT, SERVICE } from "./service-query.ts";

export interface Announced {
  /** What people are shown. */
  name: string;
  /** Of this machine, without `.local`. */
  host: string;
  port: number;
  /** IPv4 addresses it is reached by. */
  addresses: readonly string[];
}

export interface Announcement {
  /** Under which name it is told; resolves once it is, or once that was given up. */
  readonly ready: Promise<string>;
  close(): Promise<void>;
}

/** RFC 6762 section 10: 2 minutes for what names a machine, 75 for the rest. */
const HOST_TTL_S = 120;
const SERVICE_TTL_S = 4500;
/** An asker that is no multicast one must not keep it long (section 6.7). */
const LEGACY_TTL_S = 10;
const META = "_services._dns-sd._udp.local";
const AGAIN_MS = 1000;
/** Section 8.1: three questions, so far apart; who lost to one who asked at the same time waits a second. */
const PROBES = 3;
const PROBE_MS = 250;
const GIVEN_WAY_MS = 1000;
const MOST_NAMES = 50;

/** All that can be said of the service. */
export function recordsOf({ name, host, port, addresses }: Announced): DnsRecord[] {
  const instance = `${label(name)}.${SERVICE}`;
  const target = `${label(host)}.local`;
  return [
    { name: SERVICE, ttlS: SERVICE_TTL_S, type: "PTR", target: instance },
    { name: META, ttlS: SERVICE_TTL_S, type: "PTR", target: SERVICE },
    { name: instance, ttlS: HOST_TTL_S, type: "SRV", port, target },
    { name: instance, ttlS: SERVICE_TTL_S, type: "TXT", texts: [] },
    ...addresses.map((address): DnsRecord => ({ name: target, ttlS: HOST_TTL_S, type: "A", address })),
  ];
}

/** What answers these questions, and what will be asked next, with it. */
export function answersTo(questions: readonly Question[], records: readonly DnsRecord[]): DnsRecord[] {
  const asked = (record: DnsRecord) =>
    questions.some(
      ({ name, type }) => isSameName(name, record.name) && (type === "ANY" || type === record.type),
    );
  const direct = records.filter(asked);
  if (!direct.some(({ name }) => name === SERVICE)) return direct;
  return [...direct, ...records.filter((record) => !direct.includes(record) && record.name !== META)];
}

/**
 * Never rejects: a network on which it cannot be announced is said, and displays there need the address.
 * @param place where it is announced; tests do so elsewhere
 */
export async function announceService(
  announced: Announced,
  failed: (why: string) => void,
  place?: Asked,
): Promise<Announcement> {
  const { host, port, from } = place ?? { host: MDNS_HOST, port: MDNS_PORT, from: announced.addresses };
  const sockets = (await Promise.all(from.map((address) => joined(host, port, address, failed)))).flatMap(
    (one) => one ?? [],
  );
  const sayOn = (socket: Socket, message: Message) =>
    new Promise<void>((resolve) => {
      socket.send(encodeMessage(message, isShared), port, host, () => resolve());
    });
  const say = (message: Message) => Promise.all(sockets.map((socket) => sayOn(socket, message)));
  const voice = createVoice(announced, say);
  for (const socket of sockets) {
    socket.on("message", (bytes, asker) => {
      const message = decodeMessage(bytes);
      if (message === undefined) return;
      voice.heard(message);
      const answers = message.isResponse ? [] : answersTo(message.questions, voice.told());
      if (answers.length === 0) return;
      if (asker.port === port)
        void sayOn(socket, { id: 0, isResponse: true, questions: [], records: answers });
      else answerAlone(socket, asker, message.id, message.questions, answers);
    });
  }
  return {
    ready: voice.ready,
    async close() {
      await voice.close();
      for (const socket of sockets) socket.close();
    },
  };
}

interface Voice {
  readonly ready: Promise<string>;
  /** What is ours and told. */
  told(): readonly DnsRecord[];
  heard(message: Message): void;
  close(): Promise<void>;
}

/** Asks for its names, tells them, and takes others when it must. */
function createVoice(announced: Announced, say: (message: Message) => Promise<unknown>): Voice {
  let nth = 1;
  let records = recordsOf(announced);
  let isOurs = false;
  let closed = false;
  /** What was heard while a name was asked for. */
  let verdict: "free" | "taken" | "wait" = "free";
  let wake = (): void => {};
  const pause = (ms: number) =>
    new Promise<void>((resolve) => {
      const timer = setTimeout(resolve, closed ? 0 : ms);
      wake = () => {
        clearTimeout(timer);
        resolve();
      };
    });
  const tell = (ttlS?: number) =>
    say({
      id: 0,
      isResponse: true,
      questions: [],
      records: ttlS === undefined ? records : records.map((record) => ({ ...record, ttlS })),
    });
  const probe = async (): Promise<void> => {
    verdict = "free";
    for (let n = 0; n < PROBES && verdict === "free" && !closed; n++) {
      const meant = records.filter((record) => !isShared(record));
      await say({ id: 0, isResponse: false, questions: probeFor(records), records: meant });
      await pause(PROBE_MS);
    }
  };
  const begin = async (): Promise<string> => {
    while (!closed && nth < MOST_NAMES) {
      await probe();
      if (verdict === "free") break;
      if (verdict === "wait") await pause(GIVEN_WAY_MS);
      else records = recordsOf(renamed(announced, ++nth));
    }
    if (!closed) {
      isOurs = true;
      await tell();
      void pause(AGAIN_MS).then(() => (closed || !isOurs ? undefined : tell()));
    }
    return renamed(announced, nth).name;
  };
  let running = begin();
  return {
    ready: running,
    told: () => (isOurs ? records : []),
    heard({ isResponse, records: theirs }) {
      if (isResponse && conflicts(records, theirs).length > 0) {
        verdict = "taken";
        wake();
        // Section 9: it was ours, and somebody has it all the same: asked for anew, as at the beginning.
        if (isOurs) {
          isOurs = false;
          running = running.then(begin);
        }
      } else if (!(isResponse || isOurs) && givesWay(records, theirs)) {
        verdict = "wait";
        wake();
      }
    },
    async close() {
      closed = true;
      wake();
      await running;
      if (isOurs) await tell(0);
    },
  };
}

function answerAlone(
  socket: Socket,
  asker: RemoteInfo,
  id: number,
  questions: Question[],
  answers: readonly DnsRecord[],
): void {
  const records = answers.map((record) => ({ ...record, ttlS: LEGACY_TTL_S }));
  socket.send(
    encodeMessage({ id, isResponse: true, questions, records }),
    asker.port,
    asker.address,
    () => {},
  );
}

function joined(
  host: string,
  port: number,
  address: string,
  failed: (why: string) => void,
): Promise<Socket | undefined> {
  return new Promise((resolve) => {
    const socket = createSocket({ type: "udp4", reuseAddr: true });
    const fail = (error: Error) => {
      failed(`cannot announce on ${address}: ${error.message}`);
      socket.close();
      resolve(undefined);
    };
    socket.once("error", fail);
    socket.bind(port, () => {
      try {
        socket.addMembership(host, address);
        socket.setMulticastInterface(address);
        socket.setMulticastTTL(255);
      } catch (error) {
        fail(error instanceof Error ? error : new Error(String(error)));
        return;
      }
      socket.removeAllListeners("error");
      socket.on("error", (error) => failed(`announcing on ${address}: ${error.message}`));
      resolve(socket);
    });
  });
}
