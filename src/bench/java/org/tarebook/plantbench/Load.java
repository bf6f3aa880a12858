package org.tarebook.plantbench;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicLong;

/**
 * Postings one by one over a number of connections, each answer checked.
 *
 * @param rate answers a second
 * @param p99 the time under which 99 of 100 answers came, in milliseconds
 * @param posted how many were answered
 */
record Load(double rate, double p99, long posted) {

  /** Plays for a while. */
  static Load play(
      Service service, Plant plant, String prefix, AtomicLong number, int connections, Duration time) {
    ExecutorService threads = Executors.newFixedThreadPool(connections);
    try {
      long begin = System.nanoTime();
      long end = begin + time.toNanos();
      List<Callable<List<Long>>> work = new ArrayList<>();
      for (int i = 0; i < connections; i++) {
        work.add(() -> connection(service, plant, prefix, number, end));
      }
      List<Long> times = new ArrayList<>();
      for (Future<List<Long>> each : threads.invokeAll(work)) {
        times.addAll(each.get());
      }
      double seconds = (System.nanoTime() - begin) / 1e9;
      long[] sorted = times.stream().mapToLong(Long::longValue).sorted().toArray();
      return new Load(
          sorted.length / seconds, sorted[(int) (sorted.length * 0.99)] / 1e6, sorted.length);
    } catch (InterruptedException | ExecutionException failure) {
      throw new IllegalStateException(failure);
    } finally {
      threads.shutdownNow();
    }
  }

  private static List<Long> connection(
      Service service, Plant plant, String prefix, AtomicLong number, long end)
      throws IOException, InterruptedException {
    HttpClient http = HttpClient.newBuilder().version(HttpClient.Version.HTTP_1_1).build();
    List<Long> times = new ArrayList<>();
    Instant at = Instant.now();
    while (System.nanoTime() < end) {
      long own = number.incrementAndGet();
      HttpRequest request =
          HttpRequest.newBuilder(URI.create(service.base() + "/api/v1/readings"))
              .header("Content-Type", "application/json")
              .header("Authorization", "Bearer " + plant.token())
              .POST(HttpRequest.BodyPublishers.ofString(plant.posting(prefix, own, at)))
              .build();
      long begin = System.nanoTime();
      HttpResponse<String> answer = http.send(request, HttpResponse.BodyHandlers.ofString());
      times.add(System.nanoTime() - begin);
      if (answer.statusCode() / 100 != 2 || !answer.body().contains("\"PASS\"")) {
        throw new IllegalStateException(answer.statusCode() + " " + answer.body());
      }
    }
    return times;
  }

  /** The middle of some figures. */
  static double median(double... figures) {
    double[] sorted = figures.clone();
    Arrays.sort(sorted);
    return sorted[sorted.length / 2];
  }
}
