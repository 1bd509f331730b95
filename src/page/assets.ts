/** The client's files, read once at the start: a handful of small texts, and nothing else can be asked for. */
import { readdir, readFile } from "node:fs/promises";
import { basename, extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";

export interface Asset {
  type: string;
  body: Buffer;
  zipped: Buffer;
}

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".svg": "image/svg+xml",
  ".webmanifest": "application/manifest+json",
};

const CLIENT = "page/client";

/** Compiled: `dist`. Straight from the sources (tests) there is no compiled client beside this file. */
const HERE = fileURLToPath(new URL("..", import.meta.url));

/** Path as asked for → file: `index.html` is `/`, any other page has its own name, the rest lies in its folder. */
export async function readAssets(root: string = HERE): Promise<ReadonlyMap<string, Asset>> {
  const assets = new Map<string, Asset>();
  for (const name of await readdir(join(root, CLIENT))) {
    const type = TYPES[extname(name)];
    const body = await readFile(join(root, CLIENT, name)).catch(() => undefined);
    if (type === undefined || body === undefined) continue;
    assets.set(pathOf(name), { type, body, zipped: gzipSync(body, { level: 9 }) });
  }
  return assets;
}

function pathOf(name: string): string {
  if (name === "index.html") return "/";
  return extname(name) === ".html" ? `/${basename(name, ".html")}` : `/${CLIENT}/${name}`;
}
