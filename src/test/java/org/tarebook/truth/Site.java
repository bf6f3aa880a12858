package org.tarebook.truth;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.HexFormat;
import java.util.List;
import java.util.Queue;
import java.util.Random;
import java.util.UUID;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.ReadWriteLock;
import java.util.concurrent.locks.ReentrantReadWriteLock;
import org.jspecify.annotations.Nullable;

/** Running services with the one database they share, as the harness sees them. */
final class Site {

  private final String name;
  private final String url;
  private final String user;
  private final String password;
  private final AtomicLong lastToken = new AtomicLong(8_000_000_000_000L);
  private final Queue<String> wrong = new ConcurrentLinkedQueue<>();
  private volatile List<String> bases = List.of();
  private final ReadWriteLock looking = new ReentrantReadWriteLock();
  private volatile boolean disturbed;

  Site(String name, String url, String user, String password) {
    this.name = name;
    this.url = url;
    this.user = user;
    this.password = password;
  }

  /** Reads something from the database. */
  interface Look<T> {
    T at(Connection sql) throws SQLException;
  }

  String name() {
    return name;
  }

  /** The addresses of its services from now on. */
  void serve(List<String> addresses) {
    bases = List.copyOf(addresses);
  }

  List<String> bases() {
    return bases;
  }

  String anyBase(Random random) {
    List<String> all = bases;
    return all.get(random.nextInt(all.size()));
  }

  /** Says whether something is being killed, so that answers may fail. */
  void disturbed(boolean now) {
    disturbed = now;
  }

  boolean disturbed() {
    return disturbed;
  }

  /** Notes something that must not be. */
  void wrong(String words) {
    wrong.add(name + ": " + words);
    System.out.println("WRONG " + name + ": " + words);
  }

  List<String> allWrong() {
    return List.copyOf(wrong);
  }

  /**
   * Keeps everybody from looking into the database until it is given free, by the same thread. An
   * H2 file would be opened by whoever looks while its service is away.
   */
  void closed(boolean now) {
    if (now) {
      looking.writeLock().lock();
    } else {
      looking.writeLock().unlock();
    }
  }

  /** Reads on one picture of the record. */
  <T> T look(Look<T> look) throws SQLException {
    looking.readLock().lock();
    try {
      return lookNow(look);
    } finally {
      looking.readLock().unlock();
    }
  }

  private <T> T lookNow(Look<T> look) throws SQLException {
    try (Connection sql = DriverManager.getConnection(url, user, password)) {
      sql.setAutoCommit(false);
      sql.setTransactionIsolation(
          url.startsWith("jdbc:h2:")
              ? Connection.TRANSACTION_SERIALIZABLE
              : Connection.TRANSACTION_REPEATABLE_READ);
      T found = look.at(sql);
      sql.rollback();
      return found;
    }
  }

  /** Stores a token and gives its text. */
  String token(String holder, String kind, String role, @Nullable String station)
      throws SQLException {
    long number = lastToken.incrementAndGet();
    String text = "tb_truth" + UUID.randomUUID();
    try (Connection sql = DriverManager.getConnection(url, user, password);
        PreparedStatement insert =
            sql.prepareStatement(
                "insert into access_token (id, name, kind, role, station_id, sha256, created_at,"
                    + " created_by, expires_at, row_version) values (?, ?, ?, ?,"
                    + " (select id from station where code = ?), ?, ?, 'truth', ?, 0)")) {
      insert.setLong(1, number);
      insert.setString(2, holder);
      insert.setString(3, kind);
      insert.setString(4, role);
      insert.setString(5, station);
      insert.setString(6, sha256(text));
      insert.setObject(7, OffsetDateTime.of(2000, 1, 1, 0, 0, 0, 0, ZoneOffset.UTC));
      insert.setObject(8, OffsetDateTime.of(2199, 1, 1, 0, 0, 0, 0, ZoneOffset.UTC));
      insert.executeUpdate();
    }
    return text;
  }

  private static String sha256(String text) {
    try {
      return HexFormat.of()
          .formatHex(
              MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8)));
    } catch (NoSuchAlgorithmException impossible) {
      throw new IllegalStateException(impossible);
    }
  }
}
