package org.tarebook.storage;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;

/**
 * The file of the embedded database, which only its owner may read. H2 creates files with the
 * rights that the process gives to any file, so this one is created before H2 opens it.
 */
public final class EmbeddedFile {

  private static final String URL = "jdbc:h2:";
  private static final String FILE = "file:";

  private final Path database;
  private final Path traces;
  private final boolean mustExist;

  private EmbeddedFile(String name, boolean mustExist) {
    this.database = Path.of(name + ".mv.db").toAbsolutePath().normalize();
    this.traces = Path.of(name + ".trace.db").toAbsolutePath().normalize();
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
        PrivateFiles.create(database).close();
      }
      restrict();
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

  /** Takes the rights of others from what H2 has created anew. */
  public void restrict() throws IOException {
    PrivateFiles.restrict(database);
    PrivateFiles.restrict(traces);
  }
}
