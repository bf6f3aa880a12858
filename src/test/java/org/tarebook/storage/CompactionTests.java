package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.springframework.boot.jdbc.autoconfigure.JdbcConnectionDetails;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.jdbc.datasource.SingleConnectionDataSource;

class CompactionTests {

  private static final int COMMITS = 20_000;

  @TempDir private Path folder;

  @Test
  void anOpenFileDoesNotGrowWithEachCommit() throws Exception {
    long alone = written("alone", false);
    long compacted = written("compacted", true);
    assertThat(compacted).as("of %d bytes", alone).isLessThan(alone / 3);
  }

  @Test
  void leavesADatabaseInMemoryAndAFailedFileAlone() throws Exception {
    try (Database memory = new Database("jdbc:h2:mem:compaction")) {
      memory.compaction.compact();
    }
    Database file = new Database("jdbc:h2:file:" + folder.resolve("closed"));
    file.sql.sql("shutdown immediately").update();
    file.compaction.compact();
    file.close();
  }

  /** The size of a file after many small commits at random places of an index. */
  private long written(String name, boolean compacting) throws Exception {
    String url = "jdbc:h2:file:" + folder.resolve(name) + ";WRITE_DELAY=0;RETENTION_TIME=10";
    try (Database database = new Database(url)) {
      database.sql.sql("create table fact (id bigint primary key, code varchar(100))").update();
      database.sql.sql("create index by_code on fact (code)").update();
      Random random = new Random(7);
      for (int id = 0; id < COMMITS; id++) {
        database
            .sql
            .sql("insert into fact (id, code) values (?, ?)")
            .params(id, Long.toHexString(random.nextLong()).repeat(5))
            .update();
        if (compacting && id % 50 == 0) {
          database.compaction.compact();
        }
      }
      assertThat(database.sql.sql("select count(*) from fact").query(Integer.class).single())
          .isEqualTo(COMMITS);
      return Files.size(folder.resolve(name + ".mv.db"));
    }
  }

  private static final class Database implements AutoCloseable {
    private final SingleConnectionDataSource connections;
    private final JdbcClient sql;
    private final Compaction compaction;

    Database(String url) {
      connections = new SingleConnectionDataSource(url, "tarebook", "", true);
      sql = JdbcClient.create(connections);
      compaction =
          new Compaction(
              connections,
              new JdbcConnectionDetails() {
                @Override
                public String getUsername() {
                  return "tarebook";
                }

                @Override
                public String getPassword() {
                  return "";
                }

                @Override
                public String getJdbcUrl() {
                  return url;
                }
              });
    }

    @Override
    public void close() {
      connections.close();
    }
  }
}
