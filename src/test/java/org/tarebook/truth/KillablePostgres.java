package org.tarebook.truth;

import io.zonky.test.db.postgres.embedded.EmbeddedPostgres;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;

/**
 * A real PostgreSQL on this machine that is killed and started again on the same files. Commits are
 * written before they are acknowledged, as a server does unless told otherwise; they are not forced
 * to the disk, since a killed process loses nothing that the operating system holds.
 */
final class KillablePostgres {

  private final Path data;
  private final int port;

  KillablePostgres(Path data) throws IOException {
    this.data = data;
    this.port = KillableService.freePort();
  }

  String url() {
    return "jdbc:postgresql://localhost:" + port + "/postgres?reWriteBatchedInserts=true";
  }

  /** Starts it; on the files of the one that was killed, if there was one. */
  void start() throws IOException {
    for (int attempt = 1; ; attempt++) {
      try {
        startNow();
        return;
      } catch (IllegalStateException failure) {
        if (attempt == 5) {
          throw failure; // before, a part of the killed server may still have held its memory
        }
      }
    }
  }

  private void startNow() throws IOException {
    EmbeddedPostgres unused =
        EmbeddedPostgres.builder()
            .setDataDirectory(data)
            .setCleanDataDirectory(false)
            .setPort(port)
            .setRegisterShutdownHook(false)
            .setLocaleConfig("locale", "C")
            .setLocaleConfig("encoding", "UTF8")
            .setServerConfig("timezone", "UTC")
            .setServerConfig("synchronous_commit", "on")
            .setServerConfig("max_connections", "60")
            .setPGStartupWait(Duration.ofSeconds(60))
            .setOutputRedirector(
                ProcessBuilder.Redirect.appendTo(data.resolveSibling("postgres.log").toFile()))
            .start();
  }

  /** Kills the server and every process of it, at once and without a warning. */
  void kill() throws IOException {
    long pid = Long.parseLong(Files.readAllLines(data.resolve("postmaster.pid")).get(0).trim());
    ProcessHandle server = ProcessHandle.of(pid).orElse(null);
    if (server != null) {
      List<ProcessHandle> parts = server.descendants().toList();
      server.destroyForcibly();
      parts.forEach(ProcessHandle::destroyForcibly);
      server.onExit().join();
      parts.forEach(part -> part.onExit().join());
    }
  }
}
