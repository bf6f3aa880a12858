package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What was forced to the file of H2 is there after a kill, wherever in the file it was written. */
class KilledFileTests {

  private static final String SETTINGS = ";WRITE_DELAY=0;DB_CLOSE_ON_EXIT=FALSE;TRACE_LEVEL_FILE=0";

  /** A process that commits facts, forces each to disk, says so, and ends without closing. */
  static final class Committing {
    private Committing() {}

    /** Takes the address of the file and the number of facts. */
    public static void main(String[] arguments) throws SQLException {
      Connection connection = DriverManager.getConnection(arguments[0], "sa", "");
      connection.setAutoCommit(false);
      for (int i = 0; i < Integer.parseInt(arguments[1]); i++) {
        try (Statement statement = connection.createStatement()) {
          statement.execute("insert into fact (name) values ('" + i + "')");
          connection.commit();
          statement.execute("checkpoint sync");
        }
        System.out.println("forced");
      }
      Runtime.getRuntime().halt(9);
    }
  }

  @Test
  void whatWasForcedIsThereAfterAKill(@TempDir Path folder) throws Exception {
    for (int facts : new int[] {1, 2, 5, 12, 30}) {
      String url = "jdbc:h2:file:" + folder.resolve("of" + facts) + SETTINGS;
      fileWithRoomInside(url);
      int forced = killed(url, facts);
      assertThat(forced).isEqualTo(facts);
      EmbeddedFile.of(url).orElseThrow().prepare();
      try (Connection connection = DriverManager.getConnection(url, "sa", "")) {
        assertThat(count(connection, "fact")).as("of %d facts", facts).isEqualTo(facts);
        assertThat(count(connection, "large")).isEqualTo(10_000);
      }
    }
  }

  @Test
  void aFileThatWasClosedOrIsHeldIsLeftAsItIs(@TempDir Path folder) throws Exception {
    String url = "jdbc:h2:file:" + folder.resolve("closed") + SETTINGS;
    fileWithRoomInside(url);
    EmbeddedFile file = EmbeddedFile.of(url).orElseThrow();
    Path database = folder.resolve("closed.mv.db");
    long size = database.toFile().length();
    long changed = database.toFile().lastModified();
    file.recover();
    assertThat(database.toFile().length()).isEqualTo(size);
    assertThat(database.toFile().lastModified()).isEqualTo(changed);
    try (Connection held = DriverManager.getConnection(url, "sa", "")) {
      held.createStatement().execute("insert into fact (name) values ('held')");
      file.recover();
      assertThat(count(held, "fact")).isEqualTo(1);
    }
  }

  private static void fileWithRoomInside(String url) throws SQLException {
    try (Connection connection = DriverManager.getConnection(url, "sa", "");
        Statement statement = connection.createStatement()) {
      statement.execute(
          "create table fact (id bigint generated always as identity primary key, name varchar)");
      statement.execute("create table large (id int primary key, name varchar)");
      for (int i = 0; i < 20; i++) {
        statement.execute(
            "insert into large select x + "
                + i * 1000
                + ", repeat('x', 500) || random_uuid() from system_range(1, 1000)");
      }
      for (int i = 0; i < 20; i += 2) {
        statement.execute(
            "delete from large where id > " + i * 1000 + " and id <= " + (i + 1) * 1000);
        statement.execute("checkpoint sync");
      }
    }
  }

  private static int killed(String url, int facts) throws Exception {
    Process process =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx64m",
                "-cp",
                System.getProperty("java.class.path"),
                Committing.class.getName(),
                url,
                String.valueOf(facts))
            .redirectErrorStream(true)
            .start();
    String told = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(process.waitFor()).as(told).isEqualTo(9);
    return told.split("forced", -1).length - 1;
  }

  private static long count(Connection connection, String table) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("select count(*) from " + table)) {
      row.next();
      return row.getLong(1);
    }
  }
}
