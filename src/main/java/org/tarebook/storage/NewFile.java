package org.tarebook.storage;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.tarebook.storage.Command.Refused;

/**
 * A file that a command writes. It bears another name until it is whole and on the disk; only its
 * owner may read it.
 */
public final class NewFile {

  private NewFile() {}

  /** What is written into it. */
  public interface Content<T> {
    /** Writes it, and says what it was. */
    T write(OutputStream out) throws IOException;
  }

  /** The one file that a command is called with. */
  public static Path of(List<String> arguments, Command command) {
    if (arguments.size() != 1) {
      throw new Refused("is called as: " + command.name() + " " + command.usage());
    }
    return Path.of(arguments.get(0));
  }

  /**
   * Writes a file that must not exist yet.
   *
   * @return what the content says of itself
   * @throws Refused if it exists, or its folder does not
   */
  public static <T> T write(Path file, Content<T> content) throws IOException {
    Path unfinished = file.resolveSibling(file.getFileName() + ".part");
    for (Path inTheWay : List.of(file, unfinished)) {
      if (Files.exists(inTheWay)) {
        throw new Refused(inTheWay + " exists already, and nothing is written over it.");
      }
    }
    Path folder = file.toAbsolutePath().getParent();
    if (folder == null || !Files.isDirectory(folder)) {
      throw new Refused("there is no folder " + folder + ".");
    }
    try {
      T written;
      try (FileChannel channel = PrivateFiles.create(unfinished);
          OutputStream out = Channels.newOutputStream(channel)) {
        written = content.write(out);
        out.flush();
        channel.force(true);
      }
      Files.move(unfinished, file);
      return written;
    } finally {
      Files.deleteIfExists(unfinished);
    }
  }
}
