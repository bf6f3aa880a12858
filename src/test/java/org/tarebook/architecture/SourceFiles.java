package org.tarebook.architecture;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;

/** The files of the project: what git would keep, or without git what lies in the source tree. */
final class SourceFiles {

  private static final Set<String> NOT_SOURCE =
      Set.of(".git", "target", "data", ".idea", ".vscode");

  private SourceFiles() {}

  static List<Path> all() throws IOException, InterruptedException {
    Process git =
        new ProcessBuilder("sh", "-c", "git ls-files -z --cached --others --exclude-standard")
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    String listed = new String(git.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    if (git.waitFor() == 0 && !listed.isEmpty()) {
      return Stream.of(listed.split("\0")).map(Path::of).filter(Files::isRegularFile).toList();
    }
    try (Stream<Path> files = Files.walk(Path.of(""))) {
      return files
          .filter(Files::isRegularFile)
          .filter(file -> !NOT_SOURCE.contains(file.getName(0).toString()))
          .toList();
    }
  }

  /** The text of a file; empty for pictures and other files that are not text. */
  static Optional<String> text(Path file) throws IOException {
    try {
      return Optional.of(
          StandardCharsets.UTF_8
              .newDecoder()
              .decode(ByteBuffer.wrap(Files.readAllBytes(file)))
              .toString());
    } catch (CharacterCodingException binary) {
      return Optional.empty();
    }
  }
}
