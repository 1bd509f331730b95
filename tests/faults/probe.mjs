// Loaded into a watch under test: on SIGUSR2 it says on stderr what only the process itself can count.
process.on("SIGUSR2", () => {
  globalThis.gc?.();
  const timers = process.getActiveResourcesInfo().filter((name) => name === "Timeout").length;
  const listeners = process.eventNames().reduce((sum, name) => sum + process.listenerCount(name), 0);
  const heapMB = process.memoryUsage().heapUsed / 1e6;
  process.stderr.write(`PROBE ${JSON.stringify({ heapMB, timers, listeners })}\n`);
});
