// Loaded into a watch under test: SIGUSR2 stops its event loop for as long as STALL_MS says, as a bug would.
process.on("SIGUSR2", () => {
  const cell = new Int32Array(new SharedArrayBuffer(4));
  Atomics.wait(cell, 0, 0, Number(process.env.STALL_MS));
});
