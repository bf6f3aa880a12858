package org.tarebook.architecture;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tarebook.cure.Verdict;

/** The pages for readers: all can be found, and the two that are read first are short. */
class WrittenPagesTests {

  private static final Path DECISIONS = Path.of("src/docs/decisions");
  private static final Path INDEX = DECISIONS.resolve("README.md");

  private static final int LONGEST_README = 14 * 1024;
  private static final int LONGEST_DEVELOPERS = 18 * 1024;

  private static final Pattern PAGE = Pattern.compile("]\\(([^)\\s#:]+\\.md)(?:#[^)\\s]*)?\\)");
  private static final Pattern METHOD_ROW = Pattern.compile("(?m)^\\| (\\d+) \\|");
  private static final Pattern NUMBERED =
      Pattern.compile("(?:\\[|Decisions? )(\\d+)]\\((?:[^)\\s]*/)?(\\d{3})-");

  private static List<Path> pages;

  @BeforeAll
  static void listPages() throws Exception {
    pages =
        SourceFiles.all().stream()
            .filter(file -> file.toString().endsWith(".md"))
            .sorted()
            .toList();
    assertThat(pages).contains(Path.of("README.md"), INDEX);
  }

  @Test
  void whatIsReadFirstIsShort() throws IOException {
    assertThat(Files.size(Path.of("README.md"))).isLessThanOrEqualTo(LONGEST_README);
    assertThat(Files.size(Path.of("DEVELOPERS.md"))).isLessThanOrEqualTo(LONGEST_DEVELOPERS);
  }

  @Test
  void everyPageIsReachedFromReadme() throws IOException {
    Set<Path> reached = new TreeSet<>();
    List<Path> open = new ArrayList<>(List.of(Path.of("README.md")));
    while (!open.isEmpty()) {
      Path page = open.remove(open.size() - 1);
      if (reached.add(page)) {
        for (MatchResult link : PAGE.matcher(Files.readString(page)).results().toList()) {
          Path from = Path.of("").resolve(page).toAbsolutePath().getParent();
          Path target = from.resolve(link.group(1)).normalize();
          open.add(Path.of("").toAbsolutePath().relativize(target));
        }
      }
    }
    assertThat(reached).containsExactlyElementsOf(pages);
  }

  @Test
  void decisionsAreNumberedWithoutGapsAndListedByTheirTitles() throws IOException {
    List<Path> decisions =
        pages.stream()
            .filter(page -> page.startsWith(DECISIONS) && !page.equals(INDEX))
            .sorted()
            .toList();
    List<String> rows =
        Files.readString(INDEX).lines().filter(line -> line.matches("\\| \\d.*")).toList();
    assertThat(decisions).isNotEmpty();
    assertThat(rows).hasSameSizeAs(decisions);
    for (int number = 1; number <= decisions.size(); number++) {
      Path file = decisions.get(number - 1);
      String name = file.getFileName().toString();
      List<String> lines = Files.readString(file).lines().toList();
      assertThat(name).startsWith("%03d-".formatted(number));
      assertThat(lines.get(0)).startsWith("# " + number + ". ");
      assertThat(lines.get(2)).as(name).matches("Date: \\d{4}-\\d{2}\\. ?.*");
      String title = lines.get(0).substring(("# " + number + ". ").length());
      assertThat(rows.get(number - 1))
          .startsWith("| %d | [%s](%s) |".formatted(number, title, name));
    }
  }

  @Test
  void decisionsAreLinkedUnderTheirOwnNumbers() throws IOException {
    List<String> wrong = new ArrayList<>();
    for (Path page : pages) {
      for (MatchResult link : NUMBERED.matcher(Files.readString(page)).results().toList()) {
        if (Integer.parseInt(link.group(1)) != Integer.parseInt(link.group(2))) {
          wrong.add(page + ": " + link.group());
        }
      }
    }
    assertThat(wrong).isEmpty();
  }

  @Test
  void figuresListEveryMethodOfVerdicts() throws IOException {
    String text = Files.readString(Path.of("src/docs/figures.md"));
    String table = text.substring(text.indexOf("### Methods of verdicts"));
    assertThat(METHOD_ROW.matcher(table).results().map(row -> Integer.valueOf(row.group(1))))
        .containsExactlyElementsOf(IntStream.rangeClosed(1, Verdict.METHOD).boxed().toList());
  }
}
