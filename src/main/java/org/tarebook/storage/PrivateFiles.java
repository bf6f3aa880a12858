package org.tarebook.storage;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileAttribute;
import java.nio.file.attribute.PosixFileAttributeView;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Set;

/**
 * Files and folders that only the owner of the service can read. They have these rights from the
 * moment they exist. Where a file system has no such rights, its own rules apply.
 */
public final class PrivateFiles {

  private static final Set<PosixFilePermission> FILE = PosixFilePermissions.fromString("rw-------");
  private static final Set<PosixFilePermission> FOLDER =
      PosixFilePermissions.fromString("rwx------");

  private PrivateFiles() {}

  /** Creates a file that must not exist yet, and opens it for writing. */
  public static FileChannel create(Path file) throws IOException {
    return FileChannel.open(
        file, Set.of(StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE), rights(file, FILE));
  }

  /** Creates a folder with those above it; what exists keeps its rights. */
  public static void createFolders(Path folder) throws IOException {
    if (!Files.isDirectory(folder)) {
      Files.createDirectories(folder, rights(folder, FOLDER));
    }
  }

  /** Takes the rights of others from a file, if it exists. */
  public static void restrict(Path file) throws IOException {
    PosixFileAttributeView view = Files.getFileAttributeView(file, PosixFileAttributeView.class);
    if (view != null && Files.exists(file) && !view.readAttributes().permissions().equals(FILE)) {
      view.setPermissions(FILE);
    }
  }

  private static FileAttribute<?>[] rights(Path path, Set<PosixFilePermission> rights) {
    return path.getFileSystem().supportedFileAttributeViews().contains("posix")
        ? new FileAttribute<?>[] {PosixFilePermissions.asFileAttribute(rights)}
        : new FileAttribute<?>[0];
  }
}
