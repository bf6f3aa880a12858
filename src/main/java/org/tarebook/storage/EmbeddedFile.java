package org.tarebook.storage;

import java.io.IOException;
import java.io.InputStream;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.Locale;
import java.util.Optional;
import org.flywaydb.core.Flyway;
import org.h2.mvstore.MVStore;
import org.h2.mvstore.MVStoreException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The file of the embedded database, which only its owner may read. H2 creates files with the
 * rights that the process gives to any file, so this one is created before H2 opens it.
 *
 * <p>H2 commits each statement of a migration by itself, so a killed process leaves a half migrated
 * file. Migrations therefore run on a file of which a copy is kept beside it until they have ended;
 * where a start finds such a copy, it brings the file back and migrates again.
 *
 * <p>A file that was not closed is recovered before H2 opens it. Opening it as usual H2 2.5.252
 * looks for the newest version in its head, where it has written the one before: after a kill it
 * went back by as many as twenty commits, each of them forced to disk.
 */
public final class EmbeddedFile {

  private static final Logger log = LoggerFactory.getLogger(EmbeddedFile.class);
  private static final String URL = "jdbc:h2:";
  private static final String FILE = "file:";

  /** H2 keeps two heads of this size at the start of a file. */
  private static final int HEAD = 4096;

  private static final String CLOSED = ",clean:1,";

  private final Path database;
  private final Path traces;
  private final Path kept;
  private final Path turn;
  private final boolean mustExist;

  private EmbeddedFile(String name, boolean mustExist) {
    this.database = Path.of(name + ".mv.db").toAbsolutePath().normalize();
    this.traces = Path.of(name + ".trace.db").toAbsolutePath().normalize();
    this.kept = Path.of(name + ".before-migration").toAbsolutePath().normalize();
    this.turn = Path.of(name + ".starting").toAbsolutePath().normalize();
    this.mustExist = mustExist;
  }

  /** The file that an address of a database names; absent if it names something else. */
  public static Optional<EmbeddedFile> of(String url) {
    if (!url.startsWith(URL)) {
      return Optional.empty();
    }
    String[] parts = url.substring(URL.length()).split(";", 2);
    String name = parts[0].startsWith(FILE) ? parts[0].substring(FILE.length()) : parts[0];
    if (name.indexOf(':') > 1 || name.isEmpty()) {
      return Optional.empty(); // in memory, over the network, or in a file system of H2's own
    }
    if (name.startsWith("~/")) {
      name = System.getProperty("user.home") + name.substring(1);
    }
    boolean mustExist =
        parts.length > 1 && parts[1].toUpperCase(Locale.ROOT).contains("IFEXISTS=TRUE");
    try {
      return Optional.of(new EmbeddedFile(name, mustExist));
    } catch (InvalidPathException refused) {
      throw new StartRefused("DB_URL names no file: " + refused.getMessage() + ".", refused);
    }
  }

  /**
   * Makes the file private to its owner, with the folders it needs.
   *
   * @throws StartRefused if it cannot be written
   */
  public void prepare() {
    try {
      Path folder = database.getParent();
      if (!mustExist && !Files.exists(database)) {
        if (folder != null) {
          PrivateFiles.createFolders(folder);
        }
        requireRoom(0);
        PrivateFiles.create(database).close();
      }
      restrict();
      if (Files.exists(kept)) {
        inTurn(this::bringBack);
      }
      recover();
    } catch (IOException failure) {
      throw new StartRefused(
          "the database file %s cannot be written (%s). Let the service write there, or set DB_URL"
                  .formatted(database, failure)
              + " to another place.",
          failure);
    }
    if (Files.exists(database) && !(Files.isReadable(database) && Files.isWritable(database))) {
      throw new StartRefused(
          "the database file %s may not be read and written by this user. Start the service as the"
                  .formatted(database)
              + " owner of the file.");
    }
  }

  /**
   * Brings a file that was not closed to the last version that was written, and closes it. One that
   * somebody holds, or that H2 cannot read, is left as it is: H2 says so when it opens it.
   */
  void recover() throws IOException {
    if (!Files.exists(database) || Files.size(database) == 0 || closed()) {
      return;
    }
    try {
      new MVStore.Builder()
          .fileName(database.toString())
          .recoveryMode()
          .autoCommitDisabled()
          .open()
          .close();
    } catch (MVStoreException left) {
      log.debug("Not recovered", left);
    }
  }

  private boolean closed() throws IOException {
    try (InputStream head = Files.newInputStream(database)) {
      return new String(head.readNBytes(HEAD), StandardCharsets.ISO_8859_1).contains(CLOSED);
    }
  }

  /**
   * Migrates the file, which nothing holds open, or leaves it to the next start to bring it back.
   *
   * @throws StartRefused if the copy cannot be kept
   */
  void migrate(Flyway flyway) {
    try {
      inTurn(
          () -> {
            if (flyway.info().pending().length > 0) {
              requireRoom(database.toFile().length());
              keep();
            }
            flyway.migrate();
            Files.deleteIfExists(kept);
          });
    } catch (IOException failure) {
      throw new StartRefused(
          "the database file %s cannot be copied before it is migrated (%s). Make room for %d bytes."
              .formatted(database, failure, database.toFile().length()),
          failure);
    }
  }

  private void requireRoom(long beside) {
    DiskSpace.lack(database.toFile().getParentFile(), beside)
        .ifPresent(
            lack -> {
              throw new StartRefused(lack + ", or set DB_URL to another place.");
            });
  }

  private interface Work {
    void run() throws IOException;
  }

  /** One start at a time: the copy of one is never taken for that of another. */
  private void inTurn(Work work) throws IOException {
    if (!Files.exists(turn)) {
      PrivateFiles.create(turn).close();
    }
    try (FileChannel channel = FileChannel.open(turn, StandardOpenOption.WRITE);
        FileLock lock = channel.lock()) {
      log.trace("In turn by {}", lock);
      work.run();
    }
  }

  private void keep() throws IOException {
    Path part = kept.resolveSibling(kept.getFileName() + ".part");
    Files.deleteIfExists(part);
    try (FileChannel copy = PrivateFiles.create(part)) {
      copyTo(copy, database);
    }
    Files.move(part, kept, StandardCopyOption.ATOMIC_MOVE);
  }

  private void bringBack() throws IOException {
    if (!Files.exists(kept)) {
      return;
    }
    log.warn("A migration of {} did not end. The file is brought back as it was before.", database);
    try (FileChannel file =
        FileChannel.open(
            database, StandardOpenOption.WRITE, StandardOpenOption.TRUNCATE_EXISTING)) {
      copyTo(file, kept);
    }
    Files.delete(kept);
  }

  private static void copyTo(FileChannel target, Path source) throws IOException {
    try (FileChannel from = FileChannel.open(source, StandardOpenOption.READ)) {
      long at = 0;
      while (at < from.size()) {
        at += from.transferTo(at, from.size() - at, target);
      }
    }
    target.force(true);
  }

  /** Takes the rights of others from what H2 has created anew. */
  public void restrict() throws IOException {
    PrivateFiles.restrict(database);
    PrivateFiles.restrict(traces);
  }
}
