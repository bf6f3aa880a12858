package org.tarebook.backup;

import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.springframework.stereotype.Component;
import org.tarebook.storage.Command;
import org.tarebook.storage.PrivateFiles;

/**
 * {@code backup FILE}. The file bears another name until it is whole and on the disk; only its
 * owner may read it, since all that the database knows is in it.
 */
@Component
class BackupToFile implements Command {

  private final Backups backups;

  BackupToFile(Backups backups) {
    this.backups = backups;
  }

  @Override
  public String name() {
    return "backup";
  }

  @Override
  public String usage() {
    return "FILE: writes the whole record into a new zip of CSV files";
  }

  @Override
  public boolean needsCurrentSchema() {
    return false;
  }

  @Override
  public void run(List<String> arguments, PrintStream progress) throws IOException {
    Path file = file(arguments, this);
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
      Manifest manifest = write(unfinished, Progress.ofWriting(progress));
      Files.move(unfinished, file);
      progress.println("Backed up " + manifest.summary());
    } finally {
      Files.deleteIfExists(unfinished);
    }
  }

  private Manifest write(Path file, Progress progress) throws IOException {
    try (FileChannel channel = PrivateFiles.create(file);
        OutputStream out = Channels.newOutputStream(channel)) {
      Manifest manifest = backups.write(out, progress);
      channel.force(true);
      return manifest;
    }
  }

  /** The one file that a command is called with. */
  static Path file(List<String> arguments, Command command) {
    if (arguments.size() != 1) {
      throw new Refused("is called as: " + command.name() + " " + command.usage());
    }
    return Path.of(arguments.get(0));
  }
}
