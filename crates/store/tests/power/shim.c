/* Writes down, in their order, what a program does to the files under one folder, and what it prints.
 *
 * Loaded before the C library (LD_PRELOAD). The test of power cuts plays the list back and leaves out what no sync had
 * yet brought to the disk. RESEAT_SHIM_LOG names the list, RESEAT_SHIM_UNDER the folder. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define MOST_FILES 1024
#define LONGEST 512

static char names[MOST_FILES][LONGEST];
static int list = -2;
static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;

static void *next(const char *name) { return dlsym(RTLD_NEXT, name); }

static void all(const void *bytes, size_t length) {
  ssize_t (*real)(int, const void *, size_t) = next("write");
  const char *at = bytes;
  while (length > 0) {
    ssize_t done = real(list, at, length);
    if (done <= 0) abort();
    at += done;
    length -= (size_t)done;
  }
}

static int is_on(void) {
  if (list == -2) {
    const char *name = getenv("RESEAT_SHIM_LOG");
    int (*real)(const char *, int, ...) = next("open");
    list = name ? real(name, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600) : -1;
  }
  return list >= 0;
}

/* kind, length of the name, place, length of the bytes; then name and bytes. */
static void note(char kind, const char *name, uint64_t place, const void *bytes, uint64_t length) {
  uint32_t name_length = (uint32_t)strlen(name);
  all(&kind, 1);
  all(&name_length, sizeof name_length);
  all(&place, sizeof place);
  all(&length, sizeof length);
  all(name, name_length);
  if (bytes) all(bytes, length);
}

static int is_under(const char *path) {
  const char *folder = getenv("RESEAT_SHIM_UNDER");
  return folder && strncmp(path, folder, strlen(folder)) == 0 && strlen(path) < LONGEST;
}

static const char *name_of(int file) {
  return file >= 0 && file < MOST_FILES && names[file][0] ? names[file] : NULL;
}

static int opened(const char *path, int flags, unsigned mode, const char *which) {
  int (*real)(const char *, int, ...) = next(which);
  pthread_mutex_lock(&lock);
  struct stat there;
  int is_new = (flags & O_CREAT) && stat(path, &there) != 0;
  int file = real(path, flags, mode);
  if (file >= 0 && file < MOST_FILES) {
    names[file][0] = 0;
    if (is_on() && is_under(path)) {
      strcpy(names[file], path);
      if (is_new) note('c', path, 0, NULL, 0);
      if (flags & O_TRUNC) note('t', path, 0, NULL, 0);
    }
  }
  pthread_mutex_unlock(&lock);
  return file;
}

#define OPEN(function)                                     \
  int function(const char *path, int flags, ...) {         \
    unsigned mode = 0;                                     \
    if (flags & (O_CREAT | __O_TMPFILE)) {                 \
      va_list more;                                        \
      va_start(more, flags);                               \
      mode = va_arg(more, unsigned);                       \
      va_end(more);                                        \
    }                                                      \
    return opened(path, flags, mode, #function);           \
  }
OPEN(open)
OPEN(open64)

int close(int file) {
  int (*real)(int) = next("close");
  pthread_mutex_lock(&lock);
  if (file >= 0 && file < MOST_FILES) names[file][0] = 0;
  int done = real(file);
  pthread_mutex_unlock(&lock);
  return done;
}

ssize_t write(int file, const void *bytes, size_t length) {
  ssize_t (*real)(int, const void *, size_t) = next("write");
  pthread_mutex_lock(&lock);
  const char *name = name_of(file);
  off_t place = name ? lseek(file, 0, SEEK_CUR) : 0;
  /* What is printed is noted before anybody can see it. */
  if (file == 1 && is_on()) note('m', "", 0, bytes, length);
  ssize_t done = real(file, bytes, length);
  if (name && done > 0 && is_on()) note('w', name, (uint64_t)place, bytes, (uint64_t)done);
  pthread_mutex_unlock(&lock);
  return done;
}

#define PWRITE(function, offset)                                                             \
  ssize_t function(int file, const void *bytes, size_t length, offset place) {               \
    ssize_t (*real)(int, const void *, size_t, offset) = next(#function);                    \
    pthread_mutex_lock(&lock);                                                               \
    ssize_t done = real(file, bytes, length, place);                                         \
    const char *name = name_of(file);                                                        \
    if (name && done > 0 && is_on()) note('w', name, (uint64_t)place, bytes, (uint64_t)done); \
    pthread_mutex_unlock(&lock);                                                             \
    return done;                                                                             \
  }
PWRITE(pwrite, off_t)
PWRITE(pwrite64, off64_t)

#define TRUNCATE(function, offset)                                        \
  int function(int file, offset length) {                                 \
    int (*real)(int, offset) = next(#function);                           \
    pthread_mutex_lock(&lock);                                            \
    int done = real(file, length);                                        \
    const char *name = name_of(file);                                     \
    if (name && done == 0 && is_on()) note('t', name, (uint64_t)length, NULL, 0); \
    pthread_mutex_unlock(&lock);                                          \
    return done;                                                          \
  }
TRUNCATE(ftruncate, off_t)
TRUNCATE(ftruncate64, off64_t)

/* Noted after it came back: only then is anything promised. A folder's sync is a sync of its name. */
#define SYNC(function)                                    \
  int function(int file) {                                \
    int (*real)(int) = next(#function);                   \
    pthread_mutex_lock(&lock);                            \
    int done = real(file);                                \
    const char *name = name_of(file);                     \
    if (name && done == 0 && is_on()) note('s', name, 0, NULL, 0); \
    pthread_mutex_unlock(&lock);                          \
    return done;                                          \
  }
SYNC(fsync)
SYNC(fdatasync)

int unlink(const char *path) {
  int (*real)(const char *) = next("unlink");
  pthread_mutex_lock(&lock);
  int done = real(path);
  if (done == 0 && is_on() && is_under(path)) note('u', path, 0, NULL, 0);
  pthread_mutex_unlock(&lock);
  return done;
}
