package org.tarebook.truth;

import java.io.File;
import java.io.IOException;
import java.net.BindException;
import java.net.ServerSocket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Duration;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** A copy of the service in a process of its own. */
final class KillableService {

  private static final SecureRandom RANDOM = new SecureRandom();
  private static final Duration PATIENCE = Duration.ofSeconds(300);

  private final String url;
  private final String user;
  private final String password;
  private final Path log;
  private final int port;
  private @Nullable Process process;

  KillableService(String url, String user, Path log) throws IOException {
    this(url, user, "", log);
  }

  KillableService(String url, String user, String password, Path log) throws IOException {
    this.url = url;
    this.user = user;
    this.password = password;
    this.log = log;
    this.port = freePort();
  }

  /** A free port of those that no machine gives out by itself while this process is away. */
  static int freePort() throws IOException {
    for (int attempt = 0; attempt < 100; attempt++) {
      try (ServerSocket free = new ServerSocket(20_000 + RANDOM.nextInt(10_000))) {
        return free.getLocalPort();
      } catch (BindException taken) {
        continue;
      }
    }
    throw new IOException("No free port was found");
  }

  String base() {
    return "http://127.0.0.1:" + port;
  }

  /** Starts it, and returns when it is ready. */
  void start() throws IOException, InterruptedException {
    String classes =
        Stream.of(System.getProperty("java.class.path").split(File.pathSeparator))
            .filter(entry -> !entry.contains("test-classes"))
            .collect(Collectors.joining(File.pathSeparator));
    Process started =
        new ProcessBuilder(
                List.of(
                    Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                    "-Xmx320m",
                    "-XX:+UseSerialGC",
                    "-XX:TieredStopAtLevel=1",
                    "-cp",
                    classes,
                    "org.tarebook.TarebookApplication",
                    "--server.address=127.0.0.1",
                    "--server.port=" + port,
                    "--spring.datasource.url=" + url,
                    "--spring.datasource.username=" + user,
                    "--spring.datasource.password=" + password,
                    "--spring.datasource.hikari.maximum-pool-size=10",
                    "--spring.datasource.hikari.max-lifetime=30000", // the shortest there is
                    "--tarebook.segments-every=PT0.2S",
                    "--tarebook.specification-lead=PT0.5S"))
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.appendTo(log.toFile()))
            .start();
    process = started;
    Runtime.getRuntime().addShutdownHook(new Thread(started::destroyForcibly));
    long end = System.nanoTime() + PATIENCE.toNanos();
    while (!ready()) {
      if (!started.isAlive() || System.nanoTime() > end) {
        throw new IOException("The service did not start; see " + log);
      }
      Thread.sleep(200);
    }
  }

  /** Whether it answers that it can take requests. */
  boolean ready() throws InterruptedException {
    try {
      return HttpClient.newHttpClient()
              .send(
                  HttpRequest.newBuilder(URI.create(base() + "/actuator/health/readiness"))
                      .timeout(Duration.ofSeconds(5))
                      .build(),
                  HttpResponse.BodyHandlers.discarding())
              .statusCode()
          == 200;
    } catch (IOException notYet) {
      return false;
    }
  }

  /** Kills it without a warning. */
  void kill() {
    Process running = process;
    if (running != null) {
      running.destroyForcibly().onExit().join();
    }
  }
}
