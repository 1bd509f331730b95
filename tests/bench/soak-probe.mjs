// Loaded into the daemon by the soak: tells on request what only the process itself can count.
const countListeners = () =>
  process
    ._getActiveHandles()
    .concat(process)
    .filter((handle) => typeof handle.eventNames === "function")
    .reduce((sum, handle) => {
      return sum + handle.eventNames().reduce((n, name) => n + handle.listenerCount(name), 0);
    }, 0);

process.on("message", () => {
  const timers = process.getActiveResourcesInfo().filter((name) => name === "Timeout").length;
  process.send({ heapMB: process.memoryUsage().heapUsed / 1e6, listeners: countListeners(), timers });
});
process.channel?.unref();
