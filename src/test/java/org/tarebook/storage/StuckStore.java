package org.tarebook.storage;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.concurrent.locks.LockSupport;
import org.h2.store.fs.FileBaseDefault;
import org.h2.store.fs.FilePath;
import org.h2.store.fs.FilePathWrapper;
import org.springframework.boot.jdbc.autoconfigure.JdbcConnectionDetails;

/** A process of its own whose disk fails, and whose H2 then never lets go of the file. */
public final class StuckStore extends FilePathWrapper {

  private static volatile boolean failing;

  public static void main(String[] arguments) throws Exception {
    FilePath.register(new StuckStore());
    JdbcConnectionDetails details =
        new Details("jdbc:h2:stuck:" + arguments[0] + ";WRITE_DELAY=0;DB_CLOSE_ON_EXIT=FALSE");
    DatabaseConnections connections =
        new DatabaseConnections(details, event -> {}, new Outages(), Duration.ofSeconds(1));
    Connection connection = connections.open();
    try (Statement statement = connection.createStatement()) {
      statement.execute("create table fact (id bigint primary key)");
      statement.execute("checkpoint sync");
    }
    failing = true;
    Thread request = new Thread(() -> write(connection), "request");
    request.setDaemon(true);
    request.start();
    while (true) {
      try {
        connections.open().close();
      } catch (SQLException away) {
        Thread.sleep(100);
      }
    }
  }

  private static void write(Connection connection) {
    try (Statement statement = connection.createStatement()) {
      statement.execute("insert into fact (id) values (1)");
      System.out.println("written");
    } catch (SQLException failure) {
      System.out.println(failure.getMessage());
    }
  }

  @Override
  public String getScheme() {
    return "stuck";
  }

  @Override
  public FileChannel open(String mode) throws IOException {
    FileChannel file = super.open(mode);
    return new FileBaseDefault() {
      @Override
      public int read(ByteBuffer target, long position) throws IOException {
        return file.read(target, position);
      }

      @Override
      public int write(ByteBuffer source, long position) throws IOException {
        if (failing) {
          throw new IOException("No space left on device");
        }
        return file.write(source, position);
      }

      @Override
      public long size() throws IOException {
        return file.size();
      }

      @Override
      protected void implTruncate(long size) throws IOException {
        file.truncate(size);
      }

      @Override
      public void force(boolean metaData) throws IOException {
        file.force(metaData);
      }

      @Override
      public FileLock tryLock(long position, long size, boolean shared) throws IOException {
        return file.tryLock(position, size, shared);
      }

      @Override
      protected void implCloseChannel() throws IOException {
        while (failing) {
          LockSupport.park();
        }
        file.close();
      }
    };
  }

  private record Details(String url) implements JdbcConnectionDetails {
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
  }
}
