package org.tarebook.storage;

import java.io.File;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.jdbc.autoconfigure.JdbcConnectionDetails;
import org.springframework.dao.DataAccessResourceFailureException;
import org.springframework.stereotype.Component;

/**
 * Keeps writes off an embedded file whose disk is nearly full. H2 closes its file when a write
 * fails; while the last megabytes are left alone it stays open, and can be read.
 */
@Component
final class DiskSpace {

  /** More than what one transaction writes, in bytes. */
  private static final long LEAST = 32L << 20;

  private final @Nullable File folder;

  DiskSpace(JdbcConnectionDetails details) {
    this.folder = folder(details.getJdbcUrl());
  }

  /** The folder of an embedded file; absent for any other database. */
  static @Nullable File folder(String url) {
    String path = url.replaceFirst(";.*", "");
    if (!path.matches("jdbc:h2:(file:|\\.|/|~|[A-Za-z]:[/\\\\]).*")) {
      return null;
    }
    path = path.replaceFirst("^jdbc:h2:(file:)?", "");
    path = path.replaceFirst("^~", System.getProperty("user.home").replace("\\", "/"));
    return new File(path).getAbsoluteFile().getParentFile();
  }

  /** Refuses to go on where too little is left. */
  void require() {
    lack(folder, 0)
        .ifPresent(
            lack -> {
              throw new DataAccessResourceFailureException(lack);
            });
  }

  /**
   * What to say where the disk of a folder has less room than a transaction needs beside this many
   * bytes; absent where it has enough.
   */
  static Optional<String> lack(@Nullable File folder, long beside) {
    if (folder == null || !folder.isDirectory() || folder.getUsableSpace() >= LEAST + beside) {
      return Optional.empty();
    }
    return Optional.of(
        "The disk of %s has %d MB left; free at least %d MB"
            .formatted(folder, folder.getUsableSpace() >> 20, (LEAST + beside) >> 20));
  }
}
