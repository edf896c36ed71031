/* A disk that fails below $FAILING_FOLDERS (separated by ':') while the file $FAILING_WHILE exists:
   with $FAILING_HOW "hangs" fsync() waits, with "full" write() finds no space. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static int fails(int fd, const char *how) {
    const char *folders = getenv("FAILING_FOLDERS"), *flag = getenv("FAILING_WHILE"), *set = getenv("FAILING_HOW");
    char link[64], path[4096], list[8192];
    if (!folders || !flag || !set || strcmp(set, how) || access(flag, F_OK)) return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length <= 0) return 0;
    path[length] = 0;
    snprintf(list, sizeof list, "%s", folders);
    for (char *rest, *folder = strtok_r(list, ":", &rest); folder; folder = strtok_r(NULL, ":", &rest))
        if (!strncmp(path, folder, strlen(folder))) return 1;
    return 0;
}

int fsync(int fd) {
    static int (*real)(int);
    if (!real) real = (int (*)(int))dlsym(RTLD_NEXT, "fsync");
    while (fails(fd, "hangs")) {
        struct timespec pause = {0, 20000000};
        nanosleep(&pause, NULL);
    }
    return real(fd);
}

ssize_t write(int fd, const void *data, size_t size) {
    static ssize_t (*real)(int, const void *, size_t);
    int before = errno;
    if (!real) real = (ssize_t (*)(int, const void *, size_t))dlsym(RTLD_NEXT, "write");
    if (fails(fd, "full")) {
        errno = ENOSPC;
        return -1;
    }
    errno = before;
    return real(fd, data, size);
}
