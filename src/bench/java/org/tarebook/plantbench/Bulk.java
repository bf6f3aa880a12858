package org.tarebook.plantbench;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.Locale;
import org.postgresql.PGConnection;
import org.postgresql.copy.CopyManager;
import org.springframework.jdbc.core.JdbcTemplate;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/** NDJSON of many readings against COPY of the same rows into the same table. */
final class Bulk {

  private static final int ROUNDS = 3;

  private final Table table;
  private final int charts;
  private final int lines;

  Bulk(Table table, int charts, int lines) {
    this.table = table;
    this.charts = charts;
    this.lines = lines;
  }

  void run(Vendor vendor) throws IOException, InterruptedException, SQLException {
    TestDatabase database = TestDatabase.create(vendor);
    double[] own = new double[ROUNDS];
    double[] copy = new double[ROUNDS];
    try (Service tarebook = Service.tarebook(database)) {
      Plant plant = Plant.make(tarebook, charts);
      post(tarebook, plant, "w", lines / 10);
      for (int round = 0; round < ROUNDS; round++) {
        own[round] = post(tarebook, plant, "r" + round + "-", lines);
        if (vendor == Vendor.POSTGRESQL) {
          copy[round] = copy(database, "r" + round + "-", round);
        }
      }
    }
    double rate = Load.median(own);
    String part = "NDJSON of %,d readings, %s, 512 MB".formatted(lines, vendor);
    if (vendor == Vendor.POSTGRESQL) {
      table.atLeast(
          part, perSecond(rate), "COPY " + perSecond(Load.median(copy)), rate / Load.median(copy), 0.4);
    } else {
      System.out.println(part + ": " + perSecond(rate) + "; nothing to compare with");
    }
  }

  private static String perSecond(double rate) {
    return String.format(Locale.ROOT, "%,.0f/s", rate);
  }

  /** Posts lines, checks every outcome, and tells how many went in a second. */
  private static double post(Service service, Plant plant, String prefix, int count)
      throws IOException, InterruptedException {
    Path file = Files.createTempFile("readings", ".ndjson");
    Instant begin = Instant.now().minusMillis(count); // recent, as gateways send them
    try (OutputStream out = new java.io.BufferedOutputStream(Files.newOutputStream(file), 1 << 16)) {
      for (int i = 0; i < count; i++) {
        String line = plant.posting(prefix, i, begin.plusMillis(i)) + "\n";
        out.write(line.getBytes(StandardCharsets.UTF_8));
      }
    }
    HttpRequest request =
        HttpRequest.newBuilder(URI.create(service.base() + "/api/v1/readings/bulk"))
            .header("Content-Type", "application/x-ndjson")
            .header("Authorization", "Bearer " + plant.token())
            .POST(HttpRequest.BodyPublishers.ofFile(file))
            .build();
    long start = System.nanoTime();
    HttpResponse<InputStream> answer =
        HttpClient.newBuilder()
            .version(HttpClient.Version.HTTP_1_1)
            .build()
            .send(request, HttpResponse.BodyHandlers.ofInputStream());
    long line = 0;
    String last = "";
    try (BufferedReader outcomes =
        new BufferedReader(new InputStreamReader(answer.body(), StandardCharsets.UTF_8))) {
      for (String each = outcomes.readLine(); each != null; each = outcomes.readLine()) {
        last = each;
        line++;
        if (line <= count
            && !each.startsWith("{\"line\":" + line + ",\"outcome\":\"recorded\",\"key\":\"" + prefix)) {
          throw new IllegalStateException(each);
        }
      }
    }
    double seconds = (System.nanoTime() - start) / 1e9;
    if (line != count + 1 || !last.contains("\"recorded\":" + count)) {
      throw new IllegalStateException(line + " lines, the last: " + last);
    }
    Files.delete(file);
    return count / seconds;
  }

  /** Copies the rows just stored in again, under other ids and keys. */
  private static double copy(TestDatabase database, String prefix, int round)
      throws IOException, SQLException {
    JdbcTemplate jdbc = new JdbcTemplate(database.dataSource());
    String columns =
        String.join(
            ", ",
            jdbc.queryForList(
                "select column_name from information_schema.columns where table_name = 'reading'"
                    + " order by ordinal_position",
                String.class));
    String others =
        columns
            .replaceFirst("\\bid\\b", "id + " + (round + 1) + "000000000000")
            .replaceFirst("event_key", "'c' || event_key");
    Path file = Files.createTempFile("readings", ".copy");
    try (Connection connection =
            DriverManager.getConnection(database.url(), database.user(), database.password());
        Statement statement = connection.createStatement()) {
      CopyManager copying = connection.unwrap(PGConnection.class).getCopyAPI();
      try (OutputStream out = Files.newOutputStream(file)) {
        copying.copyOut(
            "copy (select "
                + others
                + " from reading where event_key like '"
                + prefix
                + "%' order by id) to stdout",
            out);
      }
      statement.execute("checkpoint");
      long start = System.nanoTime();
      long rows;
      try (InputStream in = Files.newInputStream(file)) {
        rows = copying.copyIn("copy reading (" + columns + ") from stdin", in);
      }
      double seconds = (System.nanoTime() - start) / 1e9;
      Files.delete(file);
      return rows / seconds;
    }
  }
}
