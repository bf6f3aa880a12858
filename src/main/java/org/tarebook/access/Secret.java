package org.tarebook.access;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.util.Base64;
import java.util.HexFormat;

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
    try {
      return HexFormat.of()
          .formatHex(
              MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8)));
    } catch (NoSuchAlgorithmException impossible) {
      throw new IllegalStateException("Every Java platform has SHA-256", impossible);
    }
  }
}
