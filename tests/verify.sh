#!/usr/bin/env bash
# Everything: installs what the tests need, then builds, checks types and style, and runs all tests.
set -euo pipefail
cd "$(dirname "$0")/.."
bash tests/needs.sh
npm run --silent build
npm run --silent check
RODEWARD_BUILT=1 npx vitest run --config tests/vitest.config.ts --reporter=default --reporter=json --outputFile.json=build/tests.json
