package org.tarebook.access;

import java.security.SecureRandom;
import java.util.Base64;
import org.tarebook.storage.Sha256;

/** The text of a token: {@code tb_} and 256 random bits in base64url. */
final class Secret {

  private static final int BYTES = 32;
  private static final SecureRandom RANDOM = new SecureRandom();

  private Secret() {}

  /** A text that nobody can guess. */
  static String draw() {
    byte[] bits = new byte[BYTES];
    RANDOM.nextBytes(bits);
    return "tb_" + Base64.getUrlEncoder().withoutPadding().encodeToString(bits);
  }

  /**
   * What is kept of it. One round without salt is enough: there are 2^256 texts, so none can be
   * found by trying.
   */
  static String sha256(String text) {
    return Sha256.of(text);
  }
}
