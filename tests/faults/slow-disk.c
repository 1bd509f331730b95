/* Preloaded into a watch under test: every fsync takes as long as SLOW_MS says, as on a worn card. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <unistd.h>

static int slowed(const char *name, int file) {
  int (*real)(int) = (int (*)(int))dlsym(RTLD_NEXT, name);
  const char *ms = getenv("SLOW_MS");
  if (ms) usleep(1000u * (unsigned)atoi(ms));
  return real(file);
}

int fsync(int file) { return slowed("fsync", file); }
int fdatasync(int file) { return slowed("fdatasync", file); }
