import { defineConfig } from "vitest/config";

export default defineConfig({
  test: { include: ["tests/screens/*.shots.ts"], testTimeout: 300_000, hookTimeout: 60_000 },
});
