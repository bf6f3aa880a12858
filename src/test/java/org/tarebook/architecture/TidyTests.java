package org.tarebook.architecture;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Properties;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

class TidyTests {

  private static final int LONGEST_FILE = 400;

  private static final Set<String> TOP_LEVEL =
      Set.of("pom.xml", "README.md", "DEVELOPERS.md", "src", "db", "openapi", "docker-compose.yml");

  private static final Pattern LEFT_OVER =
      Pattern.compile("\\b(TO" + "DO|FIX" + "ME|XX" + "X|HA" + "CK)\\b");

  private static final Pattern ONE_MACHINE =
      Pattern.compile("(?<![\\w.])/(root|home|Users)/|[A-Z]:\\\\+Users|/tmp/[a-z]");

  private static final Pattern IN_SELECT =
      Pattern.compile("\\bin\\s*\\([\"+\\s]*select\\b", Pattern.CASE_INSENSITIVE);

  private static final Pattern LINK = Pattern.compile("]\\(([^)\\s]+)\\)");
  private static final Pattern SETTING_ROW = Pattern.compile("(?m)^\\| *`(tarebook\\.[^`]+)`");
  private static final Pattern SETTING_USE = Pattern.compile("\\$\\{(tarebook\\.[a-z.-]+)");

  private static List<Path> files;

  @BeforeAll
  static void listFiles() throws Exception {
    files = SourceFiles.all();
    assertThat(files).contains(Path.of("pom.xml"));
  }

  @Test
  void topLevelHoldsNothingElse() {
    assertThat(files.stream().map(file -> file.getName(0).toString()).distinct())
        .allSatisfy(
            name -> assertThat(name.startsWith(".") || TOP_LEVEL.contains(name)).as(name).isTrue());
  }

  @Test
  void nothingIsLeftToBeDone() throws IOException {
    assertThat(linesWith(LEFT_OVER)).isEmpty();
  }

  @Test
  void noFileKnowsTheMachineItWasWrittenOn() throws IOException {
    assertThat(linesWith(ONE_MACHINE)).isEmpty();
  }

  /**
   * Where the column begins an index of several, H2 fails as soon as the rows of the select are
   * more than it holds in memory: a join, or exists, asks the same.
   */
  @Test
  void noStatementLooksForAColumnInASelect() throws IOException {
    List<Path> hits = new ArrayList<>();
    for (Path file : files) {
      String name = file.toString();
      if ((name.startsWith("src/main/java") || name.startsWith("db/"))
          && IN_SELECT.matcher(SourceFiles.text(file).orElse("")).find()) {
        hits.add(file);
      }
    }
    assertThat(hits).isEmpty();
  }

  @Test
  void filesAreShortEnoughToBeRead() throws IOException {
    List<String> tooLong = new ArrayList<>();
    for (Path file : files) {
      if (file.toString().endsWith(".java")) {
        long lines = Files.readString(file).lines().count();
        if (lines > LONGEST_FILE) {
          tooLong.add(file + ": " + lines + " lines");
        }
      }
    }
    assertThat(tooLong).isEmpty();
  }

  @Test
  void linksOfDocumentsResolve() throws IOException {
    List<String> broken = new ArrayList<>();
    for (Path file : files) {
      if (file.toString().endsWith(".md")) {
        String text = Files.readString(file);
        for (MatchResult link : LINK.matcher(text).results().toList()) {
          if (!resolves(file, link.group(1))) {
            broken.add(file + ": " + link.group(1));
          }
        }
      }
    }
    assertThat(files).contains(Path.of("README.md"), Path.of("src/docs/figures.md"));
    assertThat(broken).isEmpty();
  }

  @Test
  void operatingListsExactlyTheSettingsThereAre() throws IOException {
    Set<String> known = new TreeSet<>();
    Set<String> used = new TreeSet<>();
    Set<String> filledInByTheBuild = new TreeSet<>();
    for (Path file : files) {
      String name = file.toString();
      if (name.matches("src/main/resources/application.*\\.properties")) {
        Properties properties = new Properties();
        try (var reader = Files.newBufferedReader(file)) {
          properties.load(reader);
        }
        for (String setting : properties.stringPropertyNames()) {
          (properties.getProperty(setting).startsWith("@") ? filledInByTheBuild : known)
              .add(setting);
        }
      } else if (name.startsWith("src/main/") && name.endsWith(".java")) {
        used.addAll(found(SETTING_USE, Files.readString(file)));
      }
    }
    used.removeAll(filledInByTheBuild);
    known.removeIf(name -> !name.startsWith("tarebook."));
    assertThat(known)
        .as("what has a default in a file can be given at the start")
        .containsAll(used);
    Set<String> listed = found(SETTING_ROW, Files.readString(Path.of("src/docs/operating.md")));
    assertThat(listed).isNotEmpty().isEqualTo(known);
  }

  private static Set<String> found(Pattern pattern, String text) {
    return pattern
        .matcher(text)
        .results()
        .map(match -> match.group(1))
        .collect(Collectors.toCollection(TreeSet::new));
  }

  private static List<String> linesWith(Pattern unwanted) throws IOException {
    List<String> hits = new ArrayList<>();
    for (Path file : files) {
      List<String> lines = SourceFiles.text(file).orElse("").lines().toList();
      for (int i = 0; i < lines.size(); i++) {
        if (unwanted.matcher(lines.get(i)).find()) {
          hits.add(file + ":" + (i + 1) + ": " + lines.get(i).strip());
        }
      }
    }
    return hits;
  }

  private static boolean resolves(Path from, String target) throws IOException {
    if (target.matches("[a-z]+:.*")) {
      return true;
    }
    String[] parts = target.split("#", 2);
    Path folder = from.toAbsolutePath().getParent();
    Path file = parts[0].isEmpty() ? from : folder.resolve(parts[0]).normalize();
    if (!Files.exists(file)) {
      return false;
    }
    return parts.length == 1
        || !file.toString().endsWith(".md")
        || Files.readString(file)
            .lines()
            .filter(line -> line.startsWith("#"))
            .map(line -> line.replaceFirst("#+ *", "").toLowerCase(Locale.ROOT))
            .map(heading -> heading.replaceAll("[^\\p{L}\\p{N} _-]", "").replace(' ', '-'))
            .anyMatch(parts[1]::equals);
  }
}
