package org.example.session;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.storage.Vendor;

/**
 * Starts an empty service and runs one short session with each generated client. The compiler of
 * Java has seen its client before; those of TypeScript and Python see theirs here.
 */
public final class ClientSessions {

  private static final Path CLIENTS = Path.of("target", "clients").toAbsolutePath();
  private static final Path SOURCES = Path.of("src", "clients").toAbsolutePath();

  private ClientSessions() {}

  /** Takes the languages, joined by commas: java, typescript, python. */
  public static void main(String[] arguments) throws Exception {
    Set<String> languages = Set.of(arguments[0].split(","));
    try (RunningTarebook tarebook = RunningTarebook.start(Vendor.H2)) {
      String token = tarebook.admin().token();
      for (String language : List.of("java", "typescript", "python")) {
        if (languages.contains(language)) {
          run(language, tarebook.base(), token);
          System.out.println(language + ": compiled, and its session went through");
        }
      }
    }
  }

  private static void run(String language, String base, String token) throws Exception {
    switch (language) {
      case "java" -> new PlantSession(base, token).run();
      case "typescript" -> typescript(base, token);
      default -> python(base, token);
    }
  }

  private static void typescript(String base, String token) throws Exception {
    Path folder = CLIENTS.resolve("typescript");
    for (String file : List.of("package.json", "session.ts")) {
      Files.copy(
          SOURCES.resolve("typescript").resolve(file),
          folder.resolve(file),
          StandardCopyOption.REPLACE_EXISTING);
    }
    command(folder, Map.of(), "npm", "install", "--no-audit", "--no-fund");
    command(
        folder,
        Map.of(),
        "npx",
        "tsc",
        "--strict",
        "--noEmitOnError",
        "--target",
        "es2022",
        "--module",
        "nodenext",
        "--lib",
        "es2022,dom",
        "--outDir",
        "compiled",
        "session.ts",
        "plant/index.ts");
    command(folder, Map.of(), "node", "compiled/session.js", base, token);
  }

  private static void python(String base, String token) throws Exception {
    Path folder = CLIENTS.resolve("python");
    command(folder, Map.of(), "python3", "-W", "error", "-m", "compileall", "-q", "plant");
    command(
        folder,
        Map.of("PYTHONPATH", folder.toString(), "PYTHONDONTWRITEBYTECODE", "1"),
        "python3",
        SOURCES.resolve("python").resolve("session.py").toString(),
        base,
        token);
  }

  private static void command(Path folder, Map<String, String> settings, String... words)
      throws IOException, InterruptedException {
    ProcessBuilder builder = new ProcessBuilder(words).directory(folder.toFile()).inheritIO();
    builder.environment().putAll(settings);
    int status = builder.start().waitFor();
    if (status != 0) {
      throw new IllegalStateException(words[0] + " ended with " + status + " in " + folder);
    }
  }
}
