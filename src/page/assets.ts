/** The client's files, read once at the start: a handful of small texts, and nothing else can be asked for. */
import { readdir, readFile } from "node:fs/promises";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";

export interface Asset {
  type: string;
  body: string;
}

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".svg": "image/svg+xml",
};

const CLIENT = "page/client";
/** What the client imports from outside its own folder. */
const SHARED = ["units/length.js"];

/** Compiled: `dist`. Straight from the sources (tests) there is no compiled client beside this file. */
const HERE = fileURLToPath(new URL("..", import.meta.url));

/** Path as asked for → file. The paths are those of the folder, so that the client's imports hold. */
export async function readAssets(root: string = HERE): Promise<ReadonlyMap<string, Asset>> {
  const own = (await readdir(join(root, CLIENT))).map((name) => `${CLIENT}/${name}`);
  const assets = new Map<string, Asset>();
  for (const path of [...own, ...SHARED]) {
    const type = TYPES[extname(path)];
    if (type === undefined) continue;
    const body = await readFile(join(root, path), "utf8").catch(() => undefined);
    if (body === undefined) continue;
    assets.set(path === `${CLIENT}/index.html` ? "/" : `/${path}`, { type, body });
  }
  return assets;
}
