package org.tarebook.backup;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Command;
import org.tarebook.storage.SqlTime;

@OnBothDatabases
class TableRoundTests {

  private static final List<String> TEXTS =
      List.of(
          "",
          " ",
          "\"",
          "a \"quoted\", b",
          "two\r\nlines\nand\rthree",
          "\\.",
          "\\x00",
          "NULL",
          "\u00e9\u20ac\ud83d\ude9c",
          ",,,");

  private static final List<Double> DOUBLES =
      List.of(
          0.1,
          -0.0,
          1.0 / 3,
          Double.MIN_VALUE,
          Double.MAX_VALUE,
          2e-3,
          1e21,
          Double.NaN,
          Double.NEGATIVE_INFINITY);

  private final TestDatabase database;
  private final JdbcClient sql;

  TableRoundTests(TestDatabase database) {
    this.database = database;
    this.sql = database.sql();
  }

  @Test
  void everyKindOfValueAndNoneComesBackToTheLastDigit() throws Exception {
    sql.sql("drop table if exists odd").update();
    sql.sql(
            """
            create table odd (id bigint, small smallint, name varchar(200), digits char(4),
              mass numeric(18, 9), sigma double precision, special boolean,
              at timestamp(6) with time zone, on_day date, starts time(0), body bytea,
              constraint pk_odd primary key (name, id))
            """)
        .update();
    Random random = new Random(36);
    for (int i = 0; i < 300; i++) {
      byte[] body = new byte[random.nextInt(40)];
      random.nextBytes(body);
      boolean none = i % 7 == 3;
      sql.sql("insert into odd values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")
          .param(random.nextLong())
          .param(none ? null : random.nextInt(100) - 50)
          .param(TEXTS.get(i % TEXTS.size()))
          .param(none ? null : "AB12")
          .param(none ? null : BigDecimal.valueOf(random.nextLong() / 1000, 9))
          .param(none ? null : i < 9 ? DOUBLES.get(i) : random.nextGaussian())
          .param(none ? null : random.nextBoolean())
          .param(
              none
                  ? null
                  : SqlTime.of(
                      Instant.ofEpochSecond(random.nextInt(), random.nextInt(1000) * 1_000_000L)))
          .param(none ? null : LocalDate.of(2026, 1, 1).plusDays(i))
          .param(none ? null : LocalTime.of(i % 24, i % 60, i % 3))
          .param(none ? null : body)
          .update();
    }
    byte[] first = written("odd");
    assertThat(new String(first, StandardCharsets.UTF_8))
        .startsWith("id,small,name,digits,mass,sigma,special,at,on_day,starts,body\r\n")
        .contains("\"a \"\"quoted\"\", b\"")
        .contains(",,,,,,,\r\n");
    assertThat(loaded("odd", first)).isEqualTo(300);
    assertThat(new String(written("odd"), StandardCharsets.UTF_8))
        .isEqualTo(new String(first, StandardCharsets.UTF_8));
  }

  @Test
  void everyTableStandsBehindThoseItRefersToAndNoneRefersToItself() throws SQLException {
    database.flyway().load().migrate();
    try (Connection connection = database.dataSource().getConnection()) {
      Catalogue catalogue = Catalogue.of(connection, database.vendor());
      assertThat(catalogue.tables()).hasSizeGreaterThan(40);
      assertThat(catalogue.tables())
          .extracting(Table::name)
          .doesNotContain("flyway_schema_history");
      assertThat(catalogue.schema())
          .isEqualTo(database.flyway().load().info().current().getVersion().getVersion());
      assertThat(catalogue.sequences()).containsEntry("fact_seq", 1L).containsKey("master_seq");
      Set<String> before = new HashSet<>();
      for (Table table : catalogue.tables()) {
        assertThat(before).as(table.name()).containsAll(referred(connection, table.name()));
        before.add(table.name());
      }
    }
  }

  private Set<String> referred(Connection connection, String table) throws SQLException {
    Set<String> names = new HashSet<>();
    boolean h2 = connection.getMetaData().storesUpperCaseIdentifiers();
    try (var keys =
        connection
            .getMetaData()
            .getImportedKeys(null, null, h2 ? table.toUpperCase(Locale.ROOT) : table)) {
      while (keys.next()) {
        names.add(keys.getString("PKTABLE_NAME").toLowerCase(Locale.ROOT));
      }
    }
    return names;
  }

  @Test
  void aRowThatIsNotWrittenAsItsColumnsAreIsRefused() throws Exception {
    sql.sql("drop table if exists few").update();
    sql.sql("create table few (id bigint, at date, constraint pk_few primary key (id))").update();
    for (String rows : List.of("1,2026-13-01\r\n", "1\r\n", "x,2026-01-01\r\n", "1,\"2026")) {
      byte[] csv = ("id,at\r\n" + rows).getBytes(StandardCharsets.UTF_8);
      assertThatThrownBy(() -> loaded("few", csv))
          .as(rows)
          .isInstanceOfAny(Command.Refused.class, SQLException.class);
    }
    assertThat(sql.sql("select count(*) from few").query(Long.class).single()).isZero();
  }

  private byte[] written(String name) throws SQLException, IOException {
    try (Connection connection = database.dataSource().getConnection();
        Statement statement = connection.createStatement()) {
      connection.setAutoCommit(false);
      ByteArrayOutputStream out = new ByteArrayOutputStream();
      Manifest.Content content =
          new TableWriter(statement, database.vendor(), Progress.silent())
              .write(table(connection, name), out);
      assertThat(content.sha256()).isEqualTo(org.tarebook.storage.Sha256.of(out.toByteArray()));
      return out.toByteArray();
    }
  }

  private long loaded(String name, byte[] csv) throws SQLException, IOException {
    try (Connection connection = database.dataSource().getConnection();
        Statement statement = connection.createStatement()) {
      connection.setAutoCommit(false);
      statement.execute("delete from " + name);
      Loading loading = Loading.on(connection, database.vendor());
      long rows =
          loading.load(table(connection, name), new ByteArrayInputStream(csv), Progress.silent());
      loading.finish();
      connection.commit();
      return rows;
    }
  }

  private Table table(Connection connection, String name) throws SQLException {
    return Catalogue.of(connection, database.vendor()).tables().stream()
        .filter(table -> table.name().equals(name))
        .findFirst()
        .orElseThrow();
  }
}
