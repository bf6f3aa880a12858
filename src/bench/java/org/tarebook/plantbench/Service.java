package org.tarebook.plantbench;

import java.io.File;
import java.io.IOException;
import java.net.ServerSocket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.tarebook.fixtures.TestDatabase;

/** A process that serves HTTP, and how long it took to its first answer. */
record Service(Process process, int port, Path log, Duration firstAnswer) implements AutoCloseable {

  private static final HttpClient HTTP = HttpClient.newHttpClient();

  /** Starts Tarebook as a plant would, with 512 MB of heap. */
  static Service tarebook(TestDatabase database, String... options) {
    String classes =
        Arrays.stream(System.getProperty("java.class.path").split(File.pathSeparator))
            .filter(entry -> !entry.endsWith("test-classes"))
            .collect(Collectors.joining(File.pathSeparator));
    return start(classes, "org.tarebook.TarebookApplication", database, options);
  }

  /** Starts the bare endpoint on a database that Tarebook made. */
  static Service bare(TestDatabase database, String... options) {
    return start(
        System.getProperty("java.class.path"), BareEndpoint.class.getName(), database, options);
  }

  private static Service start(
      String classes, String main, TestDatabase database, String... options) {
    try (ServerSocket free = new ServerSocket(0)) {
      int port = free.getLocalPort();
      free.close();
      Path log = Files.createTempFile("plant-bench", ".log");
      List<String> command = new ArrayList<>(List.of("java", "-Xmx512m"));
      Arrays.stream(options).filter(option -> option.startsWith("-X")).forEach(command::add);
      command.addAll(
          List.of(
              "-cp",
              classes,
              main,
              "--server.port=" + port,
              "--spring.datasource.url=" + database.url(),
              "--spring.datasource.username=" + database.user(),
              "--spring.datasource.password=" + database.password()));
      Arrays.stream(options).filter(option -> option.startsWith("--")).forEach(command::add);
      long begin = System.nanoTime();
      Process process =
          new ProcessBuilder(command)
              .redirectErrorStream(true)
              .redirectOutput(log.toFile())
              .start();
      Runtime.getRuntime().addShutdownHook(new Thread(process::destroyForcibly));
      while (!answers(port)) {
        if (!process.isAlive()) {
          throw new IllegalStateException(main + " did not start:\n" + Files.readString(log));
        }
        Thread.sleep(5);
      }
      return new Service(process, port, log, Duration.ofNanos(System.nanoTime() - begin));
    } catch (IOException failure) {
      throw new IllegalStateException(main + " did not start", failure);
    } catch (InterruptedException stopped) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(stopped);
    }
  }

  private static boolean answers(int port) throws InterruptedException {
    try {
      HttpRequest request =
          HttpRequest.newBuilder(URI.create("http://localhost:" + port + "/actuator/health/liveness"))
              .timeout(Duration.ofSeconds(5))
              .build();
      return HTTP.send(request, HttpResponse.BodyHandlers.ofString()).statusCode() == 200;
    } catch (IOException notYet) {
      return false;
    }
  }

  String base() {
    return "http://localhost:" + port;
  }

  /** The token that an empty database prints at its first start. */
  String firstToken() {
    try {
      for (int i = 0; i < 200; i++) {
        Matcher token = Pattern.compile("tb_[A-Za-z0-9_-]+").matcher(Files.readString(log));
        if (token.find()) {
          return token.group();
        }
        Thread.sleep(50);
      }
    } catch (IOException failure) {
      throw new IllegalStateException(failure);
    } catch (InterruptedException stopped) {
      Thread.currentThread().interrupt();
    }
    throw new IllegalStateException("No token in " + log);
  }

  @Override
  public void close() {
    process.destroy();
    try {
      process.waitFor();
    } catch (InterruptedException stopped) {
      Thread.currentThread().interrupt();
    }
  }
}
