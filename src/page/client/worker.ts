/**
 * The service worker: keeps the page's own files, so that it opens without the daemon and says NO LINK. No data
 * ever go through it: what is older than now must not look as if it were now.
 */
{
  interface FetchEvent extends Event {
    readonly request: Request;
    respondWith(response: Promise<Response>): void;
  }

  interface LifeEvent extends Event {
    waitUntil(done: Promise<unknown>): void;
  }

  const scope = self as unknown as {
    skipWaiting(): Promise<void>;
    clients: { claim(): Promise<void> };
  };

  const SHELL = "rodeward-shell-2";
  const PATIENCE_MS = 2500;

  const isShell = (url: URL): boolean =>
    url.origin === location.origin && (url.pathname === "/" || url.pathname.startsWith("/page/client/"));

  /** From the daemon while it answers, else as it was last time. */
  async function shellFor(request: Request): Promise<Response> {
    const kept = await caches.open(SHELL);
    try {
      const response = await fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
      if (response.ok) await kept.put(request, response.clone());
      return response;
    } catch {
      return (await kept.match(request)) ?? Response.error();
    }
  }

  addEventListener("install", (event) => {
    (event as LifeEvent).waitUntil(scope.skipWaiting());
  });

  addEventListener("activate", (event) => {
    const forgetOthers = async () => {
      for (const name of await caches.keys()) if (name !== SHELL) await caches.delete(name);
      await scope.clients.claim();
    };
    (event as LifeEvent).waitUntil(forgetOthers());
  });

  addEventListener("fetch", (event) => {
    const { request } = event as FetchEvent;
    if (request.method === "GET" && isShell(new URL(request.url)))
      (event as FetchEvent).respondWith(shellFor(request));
  });
}
