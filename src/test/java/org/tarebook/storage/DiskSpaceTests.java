package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.File;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class DiskSpaceTests {

  @Test
  void isAskedWhereTheFileLies() {
    assertThat(DiskSpace.folder("jdbc:h2:file:/var/lib/tarebook/record;WRITE_DELAY=0"))
        .isEqualTo(new File("/var/lib/tarebook"));
    assertThat(DiskSpace.folder("jdbc:h2:/srv/record")).isEqualTo(new File("/srv"));
    assertThat(DiskSpace.folder("jdbc:h2:file:./data/tarebook"))
        .isEqualTo(new File("./data").getAbsoluteFile());
    assertThat(DiskSpace.folder("jdbc:h2:~/record"))
        .isEqualTo(new File(System.getProperty("user.home")));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "jdbc:h2:mem:training",
        "jdbc:h2:tcp://127.0.0.1/record",
        "jdbc:postgresql://127.0.0.1:5432/tarebook"
      })
  void isNotAskedOfOtherDatabases(String url) {
    assertThat(DiskSpace.folder(url)).isNull();
  }

  @Test
  void saysHowMuchIsLeftAndHowMuchIsNeeded(@TempDir Path folder) {
    assertThat(DiskSpace.lack(folder.toFile(), 0)).isEmpty();
    assertThat(DiskSpace.lack(folder.toFile(), 1L << 60))
        .hasValueSatisfying(
            lack ->
                assertThat(lack)
                    .startsWith("The disk of " + folder + " has ")
                    .endsWith(" MB left; free at least 1099511627808 MB"));
  }
}
